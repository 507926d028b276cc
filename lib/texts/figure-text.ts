/**
 * Text without words: numbers, their units, signs. It is never translated, only written with the reader's decimal mark.
 */
const UNITS = new Set(
  `N kN mN lbf kgf mm cm m in ft mA A mV V Hz kHz s ms min h rpm kg g lb rad mrad Nm MB GB TB kB ppm px K C F k U u t n d
  Pa kPa MPa Ohm kOhm MOhm GOhm bit MΩ kΩ`.split(/\s+/),
)

/** Whether nothing in it is a word of a language. */
export function isFigure(text: string): boolean {
  const runs = text.match(/\p{L}+/gu)
  return runs === null || runs.every((run) => run.length === 1 || UNITS.has(run))
}

/** One token that somebody gave a machine: an id, a path, an address, a version, an abbreviation. */
export function isCode(text: string): boolean {
  if (/^[A-Z][A-Z\d]{1,5}$/.test(text)) return true
  return (
    text !== '' &&
    !/\s/.test(text) &&
    /[\d_/\\@=<>|]|[a-z]\.[a-z]|\w-\w|[a-z][A-Z]/.test(text.replace(/[.,;:!?)]$/, ''))
  )
}
