// Entry of the polling process: plain Node brings the TypeScript loader along, whichever way the parent was started.
// A gateway that dies while this loads takes it along: nobody else would ever end it. polling-process.ts takes over.
process.once('disconnect', () => process.exit(0))
if (!process.connected) process.exit(0)

const { register } = await import('tsx/esm/api')
register({ tsconfig: false })
await import('./polling-process.ts')
