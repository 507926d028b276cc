// Entry of the polling process: in plain Node, whichever way the parent was started.
// A gateway that dies while this loads takes it along: nobody else would ever end it. polling-process.ts takes over.
process.once('disconnect', () => process.exit(0))
if (!process.connected) process.exit(0)

const { loadSource } = await import('../start/load-source.mjs')
await loadSource('gateway/poller/polling-process.ts')
