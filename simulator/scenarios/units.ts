/** A technician's units in SI, as the scenarios are written. */
export const degrees = (value: number) => (value * Math.PI) / 180
export const millimetres = (value: number) => value / 1000
/** Unbalance is quoted in g·mm; 1 g·mm is 1e-6 kg·m. */
export const gramMillimetres = (value: number) => value * 1e-6
