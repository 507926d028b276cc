/**
 * Whether a string of the source is something that a reader sees. A pattern needs a whole word of its own: `{0}: {1}`
 * would be found in everything.
 *
 * @param position `shown`: it is known to reach a reader; `words`: a value of a table of words; `value`: it may
 */
export function isText(key, position, path) {
  if (NOT_TEXT.some((shape) => shape.test(key))) return false
  const spelled = key.replace(/\{\d+\}/g, '\u0000')
  if (/[{}]/.test(spelled)) return false
  const words = wordsOf(key)
  if (words.length === 0) return false
  if (words.every((word) => UNITS.has(word))) return false
  if (/\s/.test(key)) return position === 'shown' || words.length > 1 || key.length > 6
  if (key.includes('{') || /[a-z][A-Z]/.test(key)) return false
  if (!/^[(“"]?[A-Za-z][A-Za-z-]*[a-z][.…:!?)”"]*$/.test(key)) return false
  if (position === 'shown') return true
  if (position === 'words') return !key.includes('-') || /^[A-Z]/.test(key)
  return /^[A-Z][a-z]+(-[a-z]+)*[.…:]?$/.test(key) && /^(app|lib|gateway\/reports)\//.test(path) && !NAMES.has(key)
}

/** Whole words that stand in the text itself, not glued to something that is put in. */
function wordsOf(key) {
  return [...key.matchAll(/(?<![A-Za-z}])[A-Za-z]{2,}(?![A-Za-z{])/g)].map(([word]) => word)
}

const UNITS = new Set(
  'N kN mN lbf kgf mm cm in ft mA mV Hz kHz ms min rpm MB GB kB ppm px N/m m/min m/s kg lb rad mrad Nm DS OS UTF TCP RTU HTTP'.split(
    ' ',
  ),
)

const NAMES = new Set(['Evenpull', 'Shift', 'Escape', 'Enter', 'Home', 'End', 'Infinity'].filter((n) => n !== 'Shift'))

const NOT_TEXT = [
  /^(SELECT|INSERT|UPDATE|DELETE|CREATE|PRAGMA|BEGIN|ALTER|DROP|VACUUM|ATTACH|HTTP\/|# HELP|Bearer|WWW-)/,
  /^[A-Z][A-Za-z]+(-[A-Z][A-Za-z]+)+: /,
  /\b(charset=|var\(--|translate\(|rotate\(|prefers-|default-src|-src |-action |filename=|px\)|nonce)/,
  /^[\w.-]+\/[\w.+-]+(;.*)?$/,
  /^(\d|\{\d+\})(px|em|rem|%)( |$)/,
  /^--[a-z]+/,
  /^(https?:|\/|\.\.?\/|#|EVP_)/,
  /^\w+ (>|<|=|IS) \?$/,
  /^M\{?\d/,
  /^\d+px /,
  /^(AND|NOT EXISTS|WITH RECURSIVE) /,
  /^(database |disk I|disk image|file is not a database|malformed database|readonly database|unable to open database)/,
  /^(zone = |zone, t$|GET, HEAD|public, max-age|Connection: close|X-Content-Type|; Secure)|SameSite=|^(base-uri|frame-ancestors|camera=|style-src)/,
]
