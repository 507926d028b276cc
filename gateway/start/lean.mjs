/**
 * What a gateway is started with so that it gives back what a busy moment took. Both can only be said before a process
 * begins, so each way to start one says it: `npm start`, a training, the systemd unit, the container. Whoever types
 * `evenpull run` may say it as well; without it a gateway takes some 50 MB more and is otherwise the same.
 *
 * - glibc gives threads heaps of their own (eight a core) and, once large blocks were freed, keeps up to 64 MB at the
 *   end of each instead of giving it back (mallopt(3): M_ARENA_MAX, M_TRIM_THRESHOLD, "dynamic mmap threshold"). Other C
 *   libraries pass over both words.
 * - V8 lets what is short-lived grow to two halves of 16 MB each, and seldom takes them back; with 4 MB a half it is
 *   collected more often, each time for less.
 */
export const LEAN = Object.freeze({
  MALLOC_ARENA_MAX: '2',
  MALLOC_TRIM_THRESHOLD_: '131072',
  NODE_OPTIONS: '--max-semi-space-size=4',
})

/** The environment of a gateway that is started from here; what the environment says already stands. */
export const leanEnvironment = () => ({ ...LEAN, ...process.env })
