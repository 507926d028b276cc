/** Says whether one more request of this client is allowed at this monotonic time. */
export type RateLimit = (client: string, nowMs: number) => boolean

interface Bucket {
  tokens: number
  atMs: number
}

/** Clients remembered at most; beyond that the full buckets are forgotten, which changes no answer. */
const MAX_BUCKETS = 1000

/** A token bucket a client: `perSecond` in the mean, as many at once. */
export function rateLimit(perSecond: number): RateLimit {
  const buckets = new Map<string, Bucket>()
  const filled = (bucket: Bucket, nowMs: number) =>
    Math.min(perSecond, bucket.tokens + ((nowMs - bucket.atMs) / 1000) * perSecond)
  return (client, nowMs) => {
    if (buckets.size >= MAX_BUCKETS)
      for (const [name, bucket] of buckets) if (filled(bucket, nowMs) >= perSecond) buckets.delete(name)
    const bucket = buckets.get(client)
    if (bucket === undefined && buckets.size >= MAX_BUCKETS) return false
    const tokens = bucket === undefined ? perSecond : filled(bucket, nowMs)
    const allowed = tokens >= 1
    buckets.set(client, { tokens: allowed ? tokens - 1 : tokens, atMs: nowMs })
    return allowed
  }
}
