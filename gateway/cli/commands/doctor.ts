import { loadConfig } from '../../config/load.ts'
import { lookAtAccess } from '../../doctor/access.ts'
import { isSynchronised, judgeClock } from '../../doctor/clock.ts'
import { lookAtDisk } from '../../doctor/disk.ts'
import type { Finding } from '../../doctor/finding.ts'
import { lookAtInstall } from '../../doctor/install.ts'
import { lookAtDevices, lookAtPort } from '../../doctor/network.ts'
import { lookAtSerialLines } from '../../doctor/serial-lines.ts'
import { lookAtStore } from '../../doctor/store.ts'
import { settingsOf } from '../../recorder/settings.ts'
import type { Command } from '../command.ts'

/** `evenpull doctor CONFIG`: what stands between this machine and a gateway that runs. */
export const doctor: Command = {
  name: 'doctor',
  summary: 'Look at this machine: serial permissions, ports, devices, clock, disk, store, users; what to do about each',
  operand: { name: 'CONFIG', help: 'the YAML file of the gateway' },
  flags: {},
  notes: [
    'It changes nothing. Devices on the network are connected to and left at once, nothing is sent; serial lines are not opened.',
    'Exit code 1 when something will keep the gateway from doing its work.',
  ],
  async run({ operand, json, out }) {
    const findings = await examine(operand, Date.now())
    if (json) out(JSON.stringify({ ok: !findings.some(isWrong), findings }))
    else for (const line of inWords(findings)) out(line)
    return findings.some(isWrong) ? 1 : 0
  },
}

/** Everything, in the order in which one would look. Throws what `loadConfig` throws. */
async function examine(configPath: string, nowMs: number): Promise<Finding[]> {
  const { config } = await loadConfig(configPath)
  const store = lookAtStore(settingsOf(config, configPath).path)
  return [
    ...(await lookAtInstall()),
    judgeClock(nowMs, store.newestMs, await isSynchronised()),
    await lookAtDisk(config, configPath),
    store.finding,
    await lookAtPort(config),
    ...(await lookAtAccess(config, configPath, nowMs)),
    ...(await lookAtDevices(config)),
    ...(await lookAtSerialLines(config)),
  ]
}

const isWrong = ({ state }: Finding): boolean => state === 'wrong'

const WORDS: Readonly<Record<Finding['state'], string>> = {
  right: 'right',
  look: 'look at',
  wrong: 'wrong',
  untold: 'not told',
}

function inWords(findings: readonly Finding[]): string[] {
  const widest = Math.max(...Object.values(WORDS).map((word) => word.length))
  const lines = findings.flatMap(({ what, state, found, remedy }) => [
    `${WORDS[state].padEnd(widest)}  ${what}: ${found}`,
    ...(remedy === null ? [] : [`${' '.repeat(widest)}  → ${remedy}`]),
  ])
  const isAllRight = findings.every(({ state }) => state === 'right' || state === 'untold')
  return isAllRight ? lines : [...lines, 'By what you see: Help, Symptoms (/help/symptoms on the page).']
}
