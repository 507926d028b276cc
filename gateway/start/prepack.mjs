/** `npm pack`: the package carries the built page, so that where it is installed nothing has to be built. */
import { setUp } from './setup.mjs'

// npm's own answer on standard output, the name of the package, is left alone.
await setUp((line) => console.error(`evenpull: ${line}`))
