import { spawnSync } from 'node:child_process'

const PYTHON = '/usr/bin/python3'

/** Why a Python module cannot serve as a peer here; null when it can. */
export function absent(module: string): string | null {
  const works = spawnSync(PYTHON, ['-c', `import ${module}`], { stdio: 'ignore' }).status === 0
  return works ? null : `skipped: Python module ${module} not installed`
}

/** Runs a Python program with JSON in and JSON out; throws with what it complained about. */
export function runPython(program: string, input: unknown): unknown {
  const { status, stdout, stderr } = spawnSync(PYTHON, ['-c', program], {
    input: JSON.stringify(input),
    encoding: 'utf8',
  })
  if (status !== 0) throw new Error(stderr)
  return JSON.parse(stdout)
}

export const titled = (title: string, reason: string | null) => (reason === null ? title : `${title} (${reason})`)
