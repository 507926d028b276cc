/** `npm pack`: the package carries the built page and the gateway's JavaScript, so that where it is installed nothing has to be built. */
import { setUp } from './setup.mjs'

// npm's own answer on standard output, the name of the package, is left alone.
await setUp((line) => console.error(`evenpull: ${line}`), { kept: 1 })
