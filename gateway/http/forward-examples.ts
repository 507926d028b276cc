import type { ForwardHealth } from '../../shared/schemas/forward-status.ts'

/** A broker that was away for a while, for the OpenAPI document. */
export const exampleForward: ForwardHealth = {
  mqtt: {
    where: 'broker.example:8883',
    topic: 'evenpull/example-plant-line-1',
    state: 'connected',
    sinceMs: 1_760_000_000_000,
    sentence: 'Connected.',
    lastError: {
      code: 'EVP_FORWARD_UNREACHABLE',
      message: 'broker.example:8883: nothing listens there',
      remedy: 'Check url, network and that the broker runs; messages wait, and the gateway keeps trying.',
      timeMs: 1_759_999_000_000,
    },
    liveOnly: null,
    queued: 2,
    queuedBytes: 8120,
    oldestMs: 1_760_000_000_000,
    delivered: 52_301,
    dropped: 0,
    refused: 0,
  },
}
