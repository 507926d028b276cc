import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { EvenpullError, type FilePlace } from '../../shared/errors.ts'
import { type Config, configSchema } from '../../shared/schemas/config.ts'
import { planRequests } from '../poller/plan.ts'
import { crossCheck } from './cross-check.ts'
import { ConfigErrors, inFileOrder } from './errors.ts'
import { explainIssues } from './explain.ts'
import type { Finding } from './finding.ts'
import { asMeant, explainMisnamed } from './meant.ts'
import { partsOf } from './parts.ts'
import { decodeUtf8 } from './utf8.ts'
import { checkWireBounds } from './wire-bound.ts'
import { readYaml, type YamlSource } from './yaml-source.ts'

/** A config in force: the file with its defaults filled in, and which text it came from. */
export interface LoadedConfig {
  readonly config: Config
  /** The same file as plain data, as written. */
  readonly written: unknown
  /** First 12 hex digits of the SHA-256 of the text. */
  readonly revision: string
}

/**
 * Reads config text. `file` is only for the places in errors.
 * Throws ConfigErrors, and nothing else, with everything that is wrong, from the top of the file down.
 */
export function parseConfig(text: string, file: string): LoadedConfig {
  try {
    return parse(text, file)
  } catch (error) {
    if (error instanceof ConfigErrors) throw error
    if (error instanceof EvenpullError) throw new ConfigErrors([error])
    const message = `${file} could not be checked: ${String(error)}`
    throw new ConfigErrors([new EvenpullError('EVP_INTERNAL', message, { cause: error })])
  }
}

function parse(text: string, file: string): LoadedConfig {
  const source = readYaml(text, file)
  const parsed = configSchema.safeParse(source.value)
  const parts = partsOf(asMeant(source.value))
  const findings = parsed.success
    ? []
    : [...explainIssues(parsed.error.issues, source.value), ...explainMisnamed(source.value)]
  findings.push(...crossCheck(parts))
  refuse(findings, source, { mayHideMore: true })
  if (!parsed.success) throw new EvenpullError('EVP_INTERNAL', `${file} was refused without a reason`)
  const config = { ...parsed.data, channels: parts.channels.map((part) => part.value) }
  refuse(checkWireBounds(planRequests(config)), source, { mayHideMore: false })
  return { config, written: source.value, revision: revisionOf(text) }
}

/** First 12 hex digits of the SHA-256 of a config's text. */
export function revisionOf(text: string): string {
  return createHash('sha256').update(text).digest('hex').slice(0, 12)
}

/** Reads and checks a config file. Throws ConfigErrors; EVP_CONFIG_NOT_FOUND when it cannot be read. */
export async function loadConfig(path: string): Promise<LoadedConfig> {
  return parseConfig(await readConfigText(path), path)
}

/** Text of a config file. Throws ConfigErrors: EVP_CONFIG_NOT_FOUND, or EVP_CONFIG_YAML when it is not UTF-8. */
export async function readConfigText(path: string): Promise<string> {
  let bytes: Buffer
  try {
    bytes = await readFile(path)
  } catch (cause) {
    const reason = (cause as NodeJS.ErrnoException).code ?? String(cause)
    throw new ConfigErrors([
      new EvenpullError('EVP_CONFIG_NOT_FOUND', `${path} cannot be read: ${READ_FAILURES[reason] ?? reason}`, {
        cause,
      }),
    ])
  }
  return decodeUtf8(bytes, path)
}

const READ_FAILURES: Record<string, string> = {
  ENOENT: 'there is no such file',
  EISDIR: 'it is a folder',
  EACCES: 'this user may not read it',
}

/** More than anybody reads at once; looking up a place takes time. */
const MAX_FINDINGS = 100

function refuse(findings: readonly Finding[], source: YamlSource, options: { readonly mayHideMore: boolean }): void {
  const placed = findings
    .slice(0, MAX_FINDINGS)
    .map((finding) => toError(finding, source.place(finding.path, finding.at)))
  const [first, ...rest] = inFileOrder(placed)
  if (first === undefined) return
  const more = findings.length - placed.length
  if (more > 0) rest.push(new EvenpullError('EVP_CONFIG_INVALID', `and ${more} more like these`))
  throw new ConfigErrors([first, ...rest], options)
}

const toError = (finding: Finding, place: FilePlace) => new EvenpullError(finding.code, finding.message, { place })
