/** A whole number with commas between thousands, as everywhere in Raphe: 1234567 as 1,234,567. */
export const grouped = (count: number): string => count.toFixed(0).replace(/\B(?=(\d{3})+$)/g, ",");
