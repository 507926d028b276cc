import type { ZoneNow } from '../shared/schemas/now.ts'

/** What a gateway is started with. */
export interface GatewayOptions {
  readonly configPath: string
  /** Override gateway.port and gateway.host of the config; port 0 takes a free one. */
  readonly port?: number
  readonly host?: string
  readonly log: (line: string) => void
  /** Told once when the gateway cannot go on; it has stopped by then. */
  readonly failed: (error: Error) => void
  /** Told when a recording has been played to its end: every zone as it was with its last row. */
  readonly recordingEnded?: (zones: readonly ZoneNow[]) => void
}
