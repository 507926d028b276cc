/**
 * `npm run bench [-- NAME …]`: measures, and prints what it measured. Nothing here passes or fails;
 * a target stands beside a figure only so that a reader can tell which way is good.
 */
import { cpus, totalmem } from 'node:os'

/** One measured figure. */
export interface Measured {
  readonly name: string
  readonly value: number
  readonly unit: string
  /** How it was measured, and the target where there is one. */
  readonly note: string
}

const BENCHES: Readonly<Record<string, () => Promise<{ run(): Promise<Measured[]> }>>> = {
  'modbus-rate': () => import('./modbus-rate.ts'),
  statistics: () => import('./statistics.ts'),
  shift: () => import('./shift.ts'),
  pipeline: () => import('./pipeline.ts'),
  spectrum: () => import('./spectrum.ts'),
  stream: () => import('./stream.ts'),
  clients: () => import('./clients.ts'),
  'screen-latency': () => import('./screen-latency.ts'),
  'frame-time': () => import('./frame-time.ts'),
  store: () => import('./store.ts'),
  'long-run': () => import('./long-run.ts'),
}

function print({ name, value, unit, note }: Measured): void {
  const figure = `${Number(value.toPrecision(4)).toLocaleString('en-GB', { maximumSignificantDigits: 4 })} ${unit}`
  console.log(`  ${name.padEnd(52)} ${figure.padStart(22)}   ${note}`)
}

const wanted = process.argv.slice(2)
const unknown = wanted.filter((name) => BENCHES[name] === undefined)
if (unknown.length > 0) {
  console.error(`bench: no ${unknown.join(', ')}; there are ${Object.keys(BENCHES).join(', ')}`)
  process.exit(2)
}
console.log(
  `${cpus().length} × ${cpus()[0]?.model ?? 'unknown'}, ${Math.round(totalmem() / 2 ** 30)} GiB, Node ${process.versions.node}`,
)
for (const name of wanted.length > 0 ? wanted : Object.keys(BENCHES)) {
  console.log(`\n${name}`)
  try {
    for (const measured of (await (await BENCHES[name]?.())?.run()) ?? []) print(measured)
  } catch (error) {
    console.log(`  not measured: ${error instanceof Error ? error.message : String(error)}`)
    process.exitCode = 1
  }
}
// Benches that leave a browser's or a worker's handle open must not keep the command alive.
process.exit()
