import type { Given, Quantity } from "../readings/quantity";

/** The columns in their order; lengths mm unless `unit` says otherwise. */
export const COLUMNS = [
  "reading",
  "level",
  "pair",
  "tooth_right",
  "tooth_left",
  "at",
  "kind",
  "state",
  "value",
  "unit",
  "low_95",
  "high_95",
  "earlier_value",
  "earlier_U95",
  "later_value",
  "later_U95",
  "earlier_mm",
  "earlier_u_mm",
  "earlier_U95_mm",
  "later_mm",
  "later_u_mm",
  "later_U95_mm",
  "change_mm",
  "change_u_mm",
  "change_U95_mm",
  "change_k",
  "change_u_point_mm",
  "change_u_registration_mm",
  "change_u_scanner_mm",
  "within_measurement_error",
  "transverse_change_mm",
  "station_mm",
  "reason",
  "earlier",
  "later",
  "invented",
] as const;

/** One line of the table by its columns. */
export type Row = Partial<Record<(typeof COLUMNS)[number], string | number | boolean | null>>;

/** Value and uncertainties of a length in its columns. */
export function quantityOf(name: "earlier" | "later" | "change", given: Given<Quantity>): Row {
  if (given.state === "withheld") return {};
  return {
    [`${name}_mm`]: given.reading.value,
    [`${name}_u_mm`]: given.reading.standardUncertainty,
    [`${name}_U95_mm`]: given.reading.expandedUncertainty,
  };
}

/** A change of length in its columns, with what its uncertainty is made of. */
export function changeOf(given: Given<Quantity>): Row {
  if (given.state === "withheld") return {};
  const { coverageFactor, components } = given.reading;
  return {
    ...quantityOf("change", given),
    change_k: coverageFactor,
    change_u_point_mm: components.point,
    change_u_registration_mm: components.registration,
    change_u_scanner_mm: components.scanner,
  };
}
