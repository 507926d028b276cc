/**
 * `npm run audit [-- --all]`: asks the registry for known weaknesses of what is installed with this package; with --all
 * also of what only build and tests need. Exit code 1 when there is one, 3 when the registry does not answer.
 */
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { ROOT } from './source-hash.mjs'

/**
 * What the answer of `npm audit --json` says, as lines for a person, and the exit code.
 * @param {string} text standard output of npm
 * @returns {{ code: 0 | 1 | 3, lines: string[] }}
 */
export function auditInWords(text) {
  let answer
  try {
    answer = JSON.parse(text)
  } catch {
    return unknown(text.trim().split('\n')[0] || 'npm gave no answer')
  }
  const counts = answer.metadata?.vulnerabilities
  if (answer.error !== undefined || answer.message !== undefined || typeof counts?.total !== 'number')
    return unknown(answer.message ?? answer.error?.summary ?? 'its answer was not understood')
  const packages = answer.metadata.dependencies?.total
  const asked = packages === undefined ? '' : ` of ${packages} packages`
  if (counts.total === 0) return { code: 0, lines: [`No known weakness${asked}.`] }
  const lines = Object.values(answer.vulnerabilities ?? {}).map(
    ({ name, severity, range, fixAvailable }) =>
      `${severity}\t${name} ${range}${fixAvailable ? '' : '\tno newer version mends it'}`,
  )
  return { code: 1, lines: [...lines, `${counts.total} known weaknesses${asked}: see npm audit for what to do.`] }
}

function unknown(why) {
  const told = `The registry did not answer (${why}): whether there are known weaknesses is unknown.`
  return { code: 3, lines: [told, 'Try again where the registry is reached: npm config get registry names it.'] }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const all = process.argv.includes('--all') ? [] : ['--omit=dev']
  const { stdout, error } = spawnSync('npm', ['audit', '--json', ...all], { cwd: ROOT, encoding: 'utf8' })
  const { code, lines } = auditInWords(error === undefined ? stdout : error.message)
  for (const line of lines) console.log(line)
  process.exitCode = code
}
