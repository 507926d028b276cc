import { dirname, resolve } from 'node:path'
import type { Config } from '../../shared/schemas/config.ts'

/** What a connection to a broker needs; another value in it means another connection. */
export interface MqttSettings {
  readonly host: string
  readonly port: number
  readonly isTls: boolean
  readonly username: string | null
  readonly passwordFile: string | null
  readonly caFile: string | null
  /** First levels of every topic, without a slash at the end. */
  readonly topic: string
  readonly plant: string | null
  readonly line: string | null
  readonly everyMs: number
  /** What waits longer, or is more, is dropped and counted. */
  readonly keepMs: number
  readonly keepBytes: number
}

const DAY_MS = 86_400_000

/** null: the config sends nothing. Paths are relative to the config file. */
export function mqttSettingsOf(config: Config, configPath: string): MqttSettings | null {
  const { mqtt } = config.forward
  const { outbox } = config.recorder.keep
  if (mqtt === undefined) return null
  const { hostname, port, protocol } = new URL(mqtt.url)
  const isTls = protocol === 'mqtts:'
  const file = (path: string | undefined) => (path === undefined ? null : resolve(dirname(configPath), path))
  return {
    host: hostname.replace(/^\[(.*)\]$/, '$1'),
    port: port === '' ? (isTls ? 8883 : 1883) : Number(port),
    isTls,
    username: mqtt.username ?? null,
    passwordFile: file(mqtt.password_file),
    caFile: file(mqtt.tls?.ca),
    topic: mqtt.topic ?? defaultTopic(config),
    plant: config.plant ?? null,
    line: config.line ?? null,
    everyMs: mqtt.every_s * 1000,
    keepMs: outbox.days * DAY_MS,
    keepBytes: outbox.mb * 1e6,
  }
}

/** `evenpull/paper-mill-line-3`: plant and line in a–z, 0–9 and -. */
export function defaultTopic({ plant, line }: Pick<Config, 'plant' | 'line'>): string {
  return ['evenpull', slugOf([plant, line].filter((part) => part !== undefined).join(' '))].filter(Boolean).join('/')
}

/** Letters without their marks, everything else but a–z and 0–9 as one -. */
export function slugOf(words: string): string {
  return words
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')
}

/** host:port, as people and URLs write it. */
export function whereOf({ host, port }: MqttSettings): string {
  return `${host.includes(':') ? `[${host}]` : host}:${port}`
}
