import { createHash } from 'node:crypto'
import type { IClientOptions, IConnackPacket, MqttClient, Packet } from 'mqtt'
import { connect } from 'mqtt'
import type { EvenpullError } from '../../shared/errors.ts'
import { BrokerFault, closedError, errorOf } from './broker-errors.ts'
import type { MqttSettings } from './settings.ts'

/** One message to a topic, all levels given. */
export interface Outgoing {
  readonly topic: string
  readonly payload: string
  readonly retain: boolean
  /** The broker throws it away after this long; never when absent. */
  readonly expirySeconds?: number
  readonly userProperties: Readonly<Record<string, string>>
}

/** What a broker said to one message: taken, or refused with its reason code (MQTT 5.0, table 3.4.2.1). */
export type Taken =
  | { readonly isTaken: true }
  | { readonly isTaken: false; readonly reason: number; readonly why: string }

export interface BrokerLink {
  /** Most messages that may wait for an acknowledgement at once (receive maximum, MQTT 5.0 section 3.2.2.3.3). */
  readonly window: number
  /** Largest packet the broker takes. */
  readonly maxBytes: number
  /** Resolves with the acknowledgement; rejects when the connection ended before it came. */
  publish(message: Outgoing): Promise<Taken>
  /** Resolves with the reason when the connection has ended; null after `close`. */
  readonly closed: Promise<EvenpullError | null>
  /** Says goodbye, so that the broker throws the last will away. */
  close(): Promise<void>
}

export interface LinkOptions {
  readonly settings: MqttSettings
  readonly password: string | null
  readonly ca: Buffer | null
  readonly will: Outgoing
}

/** Bounds what is lost from view, and what comes twice, when a connection breaks. */
const WINDOW = 100
const KEEPALIVE_S = 15
const CONNECT_TIMEOUT_MS = 10_000
const GOODBYE_MS = 2000
/** Largest that MQTT knows (5.0, section 2.1.4). */
const NO_LIMIT = 268_435_455
/** Success, and "no matching subscribers". */
const ALL_IS_WELL = new Set([0, 16])

/**
 * Opens one connection that publishes and does nothing else: it has no way to subscribe, so nothing a broker holds can
 * ever command anything here. A connection lives once; its successor is a new one, so that nothing of the old is taken
 * for new. Rejects with an EvenpullError.
 */
export function connectBroker(options: LinkOptions): Promise<BrokerLink> {
  const { settings } = options
  return new Promise((resolve, reject) => {
    const client = connect(clientOptions(options))
    let fault: unknown = null
    const closed = new Promise<EvenpullError | null>((ended) => {
      client.on('error', (error) => {
        fault ??= error
      })
      client.on('disconnect', ({ reasonCode }) => {
        fault ??= new BrokerFault('ended', reasonCode ?? 0)
      })
      client.on('close', () => {
        const wasAsked = client.disconnecting
        // Frees what waits for an acknowledgement that cannot come any more.
        client.end(true)
        const error = fault === null ? closedError(settings) : errorOf(fault, settings)
        reject(error)
        ended(wasAsked ? null : error)
      })
    })
    client.once('connect', (connack: IConnackPacket) => resolve(linkOf(client, connack, closed)))
  })
}

function clientOptions({ settings, password, ca, will }: LinkOptions): IClientOptions {
  const { host, port, isTls, username } = settings
  return {
    protocol: isTls ? 'mqtts' : 'mqtt',
    host,
    hostname: host,
    port,
    protocolVersion: 5,
    clientId: clientIdOf(settings),
    clean: true,
    keepalive: KEEPALIVE_S,
    connectTimeout: CONNECT_TIMEOUT_MS,
    // A connection that broke is not mended: see connectBroker.
    reconnectPeriod: 0,
    resubscribe: false,
    ...(username === null ? {} : { username }),
    ...(password === null ? {} : { password }),
    ...(ca === null ? {} : { ca }),
    rejectUnauthorized: true,
    will: {
      topic: will.topic,
      payload: Buffer.from(will.payload),
      qos: 1,
      retain: will.retain,
      properties: { payloadFormatIndicator: true, contentType: 'application/json', willDelayInterval: 0 },
    },
    // Packets hold the password; the library would print them to whoever sets DEBUG.
    log: () => {},
  }
}

/**
 * The same after a restart, so that a half-open connection of the past is closed by its successor. Of the letters and the
 * length that every broker has to take (MQTT 5.0, section 3.1.3.1).
 */
function clientIdOf({ topic }: MqttSettings): string {
  return `evenpull${createHash('sha256').update(topic).digest('hex').slice(0, 15)}`
}

function linkOf(client: MqttClient, connack: IConnackPacket, closed: BrokerLink['closed']): BrokerLink {
  const { receiveMaximum, maximumPacketSize } = connack.properties ?? {}
  return {
    window: Math.min(WINDOW, receiveMaximum ?? WINDOW),
    maxBytes: maximumPacketSize ?? NO_LIMIT,
    closed,
    publish: (message) => publish(client, message),
    close: () => goodbye(client),
  }
}

function publish(client: MqttClient, message: Outgoing): Promise<Taken> {
  const { topic, payload, retain, expirySeconds, userProperties } = message
  return new Promise((resolve, reject) => {
    const properties = {
      payloadFormatIndicator: true,
      contentType: 'application/json',
      userProperties: { ...userProperties },
      ...(expirySeconds === undefined ? {} : { messageExpiryInterval: expirySeconds }),
    }
    client.publish(topic, payload, { qos: 1, retain, properties }, (error, packet) => {
      const reason = (packet as (Packet & { reasonCode?: number }) | undefined)?.reasonCode ?? 0
      if (error && ALL_IS_WELL.has(reason)) reject(error)
      else if (error) resolve({ isTaken: false, reason, why: error.message })
      else resolve({ isTaken: true })
    })
  })
}

/** A broker that does not listen any more is left after a while. */
async function goodbye(client: MqttClient): Promise<void> {
  await new Promise<void>((resolve) => {
    const timer = setTimeout(() => client.end(true, () => resolve()), GOODBYE_MS)
    client.end(false, () => {
      clearTimeout(timer)
      resolve()
    })
  })
}
