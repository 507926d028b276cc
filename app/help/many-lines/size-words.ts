const STEPS = [
  [1e12, 'TB'],
  [1e9, 'GB'],
  [1e6, 'MB'],
  [1e3, 'kB'],
] as const

/** Two to three digits: a sizing on paper is worth no more. */
const rough = (x: number): string => (x >= 100 ? Math.round(x).toString() : Number(x.toPrecision(2)).toString())

/** 41 472 000 → "41 MB". Powers of ten, as disks are sold. */
export function bytesInWords(bytes: number): string {
  const [size, unit] = STEPS.find(([least]) => bytes >= least) ?? [1, 'bytes']
  return `${rough(bytes / size)} ${unit}`
}

/** 3400 → "27 kbit/s". */
export function rateInWords(bytesPerSecond: number): string {
  const bits = 8 * bytesPerSecond
  return bits >= 1e6 ? `${rough(bits / 1e6)} Mbit/s` : `${rough(bits / 1e3)} kbit/s`
}

/** 800 → "800/s". */
export const perSecond = (x: number): string => `${x >= 1000 ? Math.round(x) : rough(x)}/s`
