/**
 * Reads the Prometheus text format 0.0.4 as its documentation describes it
 * (prometheus.io/docs/instrumenting/exposition_formats, "Text format details"); written from that
 * text, not from the product's writer. Throws with the line that breaks the rules.
 */
export interface ParsedSample {
  readonly name: string
  readonly labels: Readonly<Record<string, string>>
  readonly value: number
}

const METRIC_NAME = /^[a-zA-Z_:][a-zA-Z0-9_:]*/
const LABEL_NAME = /^[a-zA-Z_][a-zA-Z0-9_]*/
/** Go's ParseFloat: decimal and exponent, NaN, +Inf and -Inf. */
const VALUE = /^([+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?|NaN|[+-]Inf)$/
const TYPES = new Set(['counter', 'gauge', 'histogram', 'summary', 'untyped'])

export function parseExposition(text: string): { samples: ParsedSample[]; types: Map<string, string> } {
  if (text !== '' && !text.endsWith('\n')) throw new Error('the last line must end with a line feed')
  const samples: ParsedSample[] = []
  const types = new Map<string, string>()
  const helped = new Set<string>()
  const finished = new Set<string>()
  const seen = new Set<string>()
  let current = ''
  for (const line of text.split('\n')) {
    if (line.trim() === '') continue
    const comment = /^#\s+(HELP|TYPE)\s+(\S+)(?:\s+(.*))?$/.exec(line)
    if (comment !== null) {
      const [, keyword, name = '', rest = ''] = comment
      if (METRIC_NAME.exec(name)?.[0] !== name) throw new Error(`bad metric name: ${line}`)
      if (keyword === 'HELP') addOnce(helped, name, line)
      else if (!TYPES.has(rest) || types.has(name) || seen.has(name)) throw new Error(`bad TYPE: ${line}`)
      else types.set(name, rest)
      continue
    }
    if (line.startsWith('#')) continue
    const sample = parseSample(line)
    // All lines of one metric must come as one group.
    if (sample.name !== current) {
      if (current !== '') finished.add(current)
      if (finished.has(sample.name)) throw new Error(`the lines of ${sample.name} are not together`)
      current = sample.name
    }
    seen.add(sample.name)
    addOnce(seen, `${sample.name}${JSON.stringify(Object.entries(sample.labels).toSorted())}`, line)
    samples.push(sample)
  }
  return { samples, types }
}

function addOnce(set: Set<string>, key: string, line: string): void {
  if (set.has(key)) throw new Error(`given twice: ${line}`)
  set.add(key)
}

function parseSample(line: string): ParsedSample {
  const name = METRIC_NAME.exec(line)?.[0]
  if (name === undefined) throw new Error(`bad metric name: ${line}`)
  const { labels, rest } = parseLabels(line.slice(name.length), line)
  const [value = '', timestamp, ...more] = rest.trim().split(/[ \t]+/)
  if (!VALUE.test(value) || more.length > 0) throw new Error(`bad value: ${line}`)
  if (timestamp !== undefined && !/^-?\d+$/.test(timestamp)) throw new Error(`bad timestamp: ${line}`)
  return { name, labels, value: Number(value.replace('Inf', 'Infinity')) }
}

function parseLabels(text: string, line: string): { labels: Record<string, string>; rest: string } {
  const labels: Record<string, string> = {}
  let rest = text.trimStart()
  if (!rest.startsWith('{')) return { labels, rest }
  rest = rest.slice(1).trimStart()
  while (!rest.startsWith('}')) {
    const name = LABEL_NAME.exec(rest)?.[0]
    if (name === undefined || name in labels) throw new Error(`bad label name: ${line}`)
    rest = rest.slice(name.length).trimStart()
    const quoted = /^=\s*"((?:[^"\\\n]|\\[\\"n])*)"/.exec(rest)
    if (quoted === null) throw new Error(`bad label value: ${line}`)
    labels[name] = (quoted[1] ?? '').replace(/\\(.)/g, (_, c) => (c === 'n' ? '\n' : c))
    rest = rest.slice(quoted[0].length).trimStart()
    if (rest.startsWith(',')) rest = rest.slice(1).trimStart()
    else if (!rest.startsWith('}')) throw new Error(`labels do not end: ${line}`)
  }
  return { labels, rest: rest.slice(1) }
}
