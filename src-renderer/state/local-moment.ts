const twoDigits = (n: number): string => String(n).padStart(2, "0");

/** A moment on the clock of this PC with its offset from UTC, to the second: '2026-11-25T17:42:00+01:00'. */
export function localMoment(moment: Date): string {
  const east = -moment.getTimezoneOffset(); // minutes; JavaScript counts them westwards
  const offset = `${east < 0 ? "-" : "+"}${twoDigits(Math.floor(Math.abs(east) / 60))}:${twoDigits(Math.abs(east) % 60)}`;
  const day = [moment.getFullYear(), twoDigits(moment.getMonth() + 1), twoDigits(moment.getDate())].join("-");
  const time = [moment.getHours(), moment.getMinutes(), moment.getSeconds()].map(twoDigits).join(":");
  return `${day}T${time}${offset}`;
}
