import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join, resolve } from 'node:path'
import { stringify } from 'yaml'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import { assumedCapacity } from '../assumed-capacity.ts'
import { closingSummary } from '../closing-summary.ts'
import type { Command } from '../command.ts'
import { choiceFlag, positiveFlag, textFlag, usage, wholeFlag } from '../options.ts'
import { replayConfig } from '../replay-config.ts'
import { surveyRecording } from '../survey-recording.ts'

/** `evenpull replay FILE`: a recording through the whole gateway, as if it were happening. */
export const replay: Command = {
  name: 'replay',
  summary: 'Play a recorded CSV of both sides through the whole gateway, as if it were happening',
  operand: { name: 'FILE', help: 'the CSV file; time is ISO 8601 or seconds, forces are along the arrows' },
  flags: {
    unit: {
      type: 'string',
      value: 'UNIT',
      help: 'unit of drive_side, operator_side and reference: N, kN, lbf or kgf (N)',
    },
    'speed-unit': { type: 'string', value: 'UNIT', help: 'unit of the column speed: m/s, m/min or ft/min (m/s)' },
    speed: {
      type: 'string',
      value: 'FACTOR',
      help: 'how fast: 1 as recorded, 2 twice as fast, max as fast as it goes (1); not under 1',
    },
    capacity: {
      type: 'string',
      value: 'FORCE',
      help: 'rated capacity of one cell, in UNIT (assumed: 1.25 times the largest force, rounded up)',
    },
    port: { type: 'string', value: 'PORT', help: 'serve on this port; 0 takes a free one (8420)' },
  },
  notes: [
    'Columns: time,drive_side,operator_side[,speed][,reference][,temperature]; others are left alone.',
    'Temperature is in °C. An empty cell is a missing value. The whole file is checked before it is played.',
    'The capacity sets the slack limit and the uncertainty of the zero: give it when it is known. An assumed one is',
    'marked in the name of the zone, and gives the zero no uncertainty.',
    'When the recording has ended its last figures are printed; the page goes on being served.',
  ],
  async run({ operand, flags, json, out, err }) {
    const port = wholeFlag(flags, 'port', 0, 65_535)
    const forceUnit = choiceFlag(flags, 'unit', ['N', 'kN', 'lbf', 'kgf']) ?? 'N'
    const speedUnit = choiceFlag(flags, 'speed-unit', ['m/s', 'm/min', 'ft/min']) ?? 'm/s'
    const speed = textFlag(flags, 'speed') === 'max' ? 'max' : (positiveFlag(flags, 'speed') ?? 1)
    const given = positiveFlag(flags, 'capacity')
    const survey = await surveyRecording(operand)
    const { largestForce } = survey
    if (given === undefined && largestForce === 0)
      throw usage('every force in the file is 0: name the rated capacity of one cell with --capacity')
    const capacity = given ?? assumedCapacity(largestForce)
    if (given === undefined)
      err(
        `capacity of each cell assumed: ${capacity} ${forceUnit} (1.25 times the largest force in the file, ` +
          `${largestForce} ${forceUnit}, rounded up); --capacity sets it`,
      )
    const capacityIsAssumed = given === undefined
    const file = resolve(operand)
    const config = replayConfig({ file, survey, forceUnit, speedUnit, speed, capacity, capacityIsAssumed })
    const recordingEnded = (zones: readonly ZoneNow[]) => {
      if (json) out(JSON.stringify({ ended: true, zones }))
      else for (const line of endedInWords(zones)) err(line)
    }
    const { runGateway } = await import('../../main.ts')
    await withConfigFile(basename(operand), stringify(config), (configPath) =>
      runGateway({ configPath, json, recordingEnded, ...(port === undefined ? {} : { port }) }),
    )
    return 0
  },
}

function endedInWords(zones: readonly ZoneNow[]): string[] {
  return ['the recording has ended; its last figures:', ...zones.flatMap(closingSummary), 'stop with Ctrl-C']
}

/** Keeps a config in a folder of its own while `use` runs; the folder is gone however it ends. */
async function withConfigFile(name: string, text: string, use: (path: string) => Promise<void>): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-replay-'))
  const remove = () => rmSync(folder, { recursive: true, force: true })
  process.on('exit', remove)
  try {
    const path = join(folder, `${name}.yaml`)
    writeFileSync(path, text)
    await use(path)
  } finally {
    remove()
    process.off('exit', remove)
  }
}
