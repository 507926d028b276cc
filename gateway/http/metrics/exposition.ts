export type Labels = Readonly<Record<string, string>>

/** One metric family: a name with its unit, and a value for each set of labels. */
export interface MetricFamily {
  readonly name: string
  readonly type: 'counter' | 'gauge'
  readonly help: string
  /** null: unknown, hence absent. */
  readonly samples: readonly { readonly labels: Labels; readonly value: number | null }[]
}

/**
 * Families in the Prometheus text exposition format, version 0.0.4
 * (prometheus.io/docs/instrumenting/exposition_formats). A value that is unknown (null, or no finite
 * number) is absent, and a family without any is left out.
 */
export function exposition(families: readonly MetricFamily[]): string {
  return families.map(familyText).join('')
}

function familyText({ name, type, help, samples }: MetricFamily): string {
  const lines = samples.flatMap(({ labels, value }) =>
    value === null || !Number.isFinite(value) ? [] : [`${name}${labelText(labels)} ${value}\n`],
  )
  if (lines.length === 0) return ''
  const escapedHelp = help.replaceAll('\\', '\\\\').replaceAll('\n', '\\n')
  return `# HELP ${name} ${escapedHelp}\n# TYPE ${name} ${type}\n${lines.join('')}`
}

function labelText(labels: Labels): string {
  const pairs = Object.entries(labels).map(([name, value]) => `${name}="${escapeLabel(value)}"`)
  return pairs.length === 0 ? '' : `{${pairs.join(',')}}`
}

const escapeLabel = (value: string): string =>
  value.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n')
