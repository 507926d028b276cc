import { createHash } from 'node:crypto'

/** Sent with every answer. */
export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'referrer-policy': 'same-origin',
  'permissions-policy': 'camera=(), geolocation=(), microphone=(), payment=(), usb=()',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
}

/** For what is data and never a page. */
export const DATA_POLICY = "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"

/**
 * The Content-Security-Policy of one HTML file: scripts and styles from files of ours, and those
 * inline ones that were in the file when it was built, by their SHA-256 (CSP Level 3, 2.3.1 and
 * 8.4); anything injected later does not run. Style attributes are hashed the same way
 * ('unsafe-hashes' lets a hash speak for an attribute; it allows no other).
 */
export function pagePolicy(html: string): string {
  const text = html.replace(/\r\n?/g, '\n')
  const scripts = hashes(inlineElements(text, 'script'))
  const styles = hashes(inlineElements(text, 'style'))
  const attributes = hashes(styleAttributes(text))
  const directives = [
    "default-src 'self'",
    sources("script-src 'self'", scripts),
    sources("style-src 'self'", styles),
    attributes.length === 0 ? "style-src-attr 'none'" : sources("style-src-attr 'unsafe-hashes'", attributes),
    "img-src 'self' data: blob:",
    "connect-src 'self'",
    "object-src 'none'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ]
  return directives.join('; ')
}

const sources = (directive: string, list: readonly string[]) => [directive, ...list].join(' ')

function hashes(texts: readonly string[]): string[] {
  const digest = (text: string) => `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`
  return [...new Set(texts.map(digest))]
}

/** Contents of the elements of this name that have no src. */
function inlineElements(html: string, name: 'script' | 'style'): string[] {
  const element = new RegExp(`<${name}((?:\\s(?:"[^"]*"|'[^']*'|[^"'>])*)?)>([\\s\\S]*?)</${name}\\s*>`, 'gi')
  return [...html.matchAll(element)]
    .filter(([, attributes]) => !/\ssrc\s*=/i.test(attributes ?? ''))
    .map(([, , content]) => content ?? '')
}

/** Values of style attributes outside script and style elements, character references resolved. */
function styleAttributes(html: string): string[] {
  const markup = html.replace(/<(script|style)\b[\s\S]*?<\/\1\s*>/gi, '')
  return [...markup.matchAll(/<[a-z][^>]*?\sstyle\s*=\s*(?:"([^"]*)"|'([^']*)')/gi)].map(([, double, single]) =>
    unescapeHtml(double ?? single ?? ''),
  )
}

const REFERENCES: Readonly<Record<string, string>> = { amp: '&', quot: '"', '#x27': "'", '#39': "'", lt: '<', gt: '>' }

function unescapeHtml(text: string): string {
  return text.replace(/&(amp|quot|#x27|#39|lt|gt);/g, (whole, name: string) => REFERENCES[name] ?? whole)
}
