import { restore } from '../../backup/restore.ts'
import type { Command } from '../command.ts'

/** `evenpull restore FOLDER CONFIG`: a backup put back where nothing stands. */
export const restoreCommand: Command = {
  name: 'restore',
  summary: 'Put a backup back as a config file and what belongs to it; replaces nothing that is there',
  operand: { name: 'FOLDER', help: 'what evenpull backup has written' },
  more: [{ name: 'CONFIG', help: 'the config file to make, in a folder of its own' }],
  flags: {},
  notes: ['Every file is held against its digest before the first one is written.'],
  async run({ operand, more, json, out }) {
    const config = more[0] ?? ''
    const { madeAt, software, files, notInIt } = await restore(operand, config)
    if (json) out(JSON.stringify({ ok: true, config, madeAt, software, files, notInIt }))
    else {
      out(`${config}: as it was on ${madeAt}, ${files.length} files, by version ${software}`)
      for (const path of notInIt) out(`was not in the backup: ${path}`)
    }
    return 0
  },
}
