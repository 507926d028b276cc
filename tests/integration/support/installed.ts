import { spawnSync } from 'node:child_process'

function works(command: string, args: readonly string[]): boolean {
  return spawnSync(command, args, { stdio: 'ignore' }).status === 0
}

/** Why a test that needs these programs cannot run here; null when it can. */
export function missing(...needs: readonly (keyof typeof CHECKS)[]): string | null {
  const absent = needs.filter((need) => !CHECKS[need]())
  return absent.length === 0 ? null : `skipped: ${absent.join(', ')} not installed`
}

const CHECKS = {
  socat: () => works('socat', ['-V']),
  mbpoll: () => works('mbpoll', ['-V']),
  mosquitto: () => works('test', ['-x', '/usr/sbin/mosquitto']),
  mosquitto_sub: () => works('which', ['mosquitto_sub']),
  script: () => works('which', ['script']),
  curl: () => works('curl', ['--version']),
  gcc: () => works('gcc', ['--version']),
  pdftotext: () => works('which', ['pdftotext']),
  openssl: () => works('openssl', ['version']),
  libmodbus: () => works('pkg-config', ['--exists', 'libmodbus']),
  scipy: () => works('/usr/bin/python3', ['-c', 'import scipy.stats']),
  pymodbus: () => works('/usr/bin/python3', ['-c', 'import pymodbus.server']),
} as const

/** A title that says why its test is skipped. */
export function titled(title: string, reason: string | null): string {
  return reason === null ? title : `${title} (${reason})`
}
