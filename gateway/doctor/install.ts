import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { VERSION } from '../version.ts'
import { type Finding, right, wrong } from './finding.ts'

const PAGE = fileURLToPath(new URL('../../out/index.html', import.meta.url))

/** The program itself: its version, Node's, the built page, the native parts. */
export async function lookAtInstall(): Promise<Finding[]> {
  return [
    right('evenpull', `version ${VERSION} on Node ${process.versions.node}, ${process.platform} ${process.arch}`),
    existsSync(PAGE)
      ? right('the page', 'it is built')
      : wrong('the page', 'it is not built', 'Run npm start once in the folder of evenpull, or npm run build.'),
    await loads('the store driver', () => import('@photostructure/sqlite')),
    await loads('the serial driver', () => import('serialport')),
  ]
}

async function loads(what: string, load: () => Promise<unknown>): Promise<Finding> {
  try {
    await load()
    return right(what, 'it loads')
  } catch (error) {
    const reason = error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error)
    return wrong(
      what,
      `it does not load: ${reason}`,
      'Install evenpull anew on this machine: native parts are of one system.',
    )
  }
}
