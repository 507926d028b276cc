import type { ConfigPath } from './finding.ts'

/**
 * A value of the config as anybody who may look is shown it. The address of a webhook often holds its key, in the path
 * or the query: all but the host is left out. Whoever may read the config file finds it there.
 */
export function withoutSecrets(value: unknown, path: ConfigPath): unknown {
  if (typeof value === 'string') return isSecret(path) ? hostAlone(value) : value
  if (typeof value !== 'object' || value === null) return value
  if (Array.isArray(value)) return value.map((item: unknown, i) => withoutSecrets(item, [...path, i]))
  return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, withoutSecrets(part, [...path, key])]))
}

const isSecret = (path: ConfigPath): boolean => path.at(-2) === 'webhook' && path.at(-1) === 'url'

function hostAlone(address: string): string {
  if (!URL.canParse(address)) return '…'
  const { protocol, host, pathname, search, hash } = new URL(address)
  return `${protocol}//${host}${pathname === '/' && search === '' && hash === '' ? '' : '/…'}`
}
