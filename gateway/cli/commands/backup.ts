import { resolve } from 'node:path'
import { backUp } from '../../backup/back-up.ts'
import type { Command } from '../command.ts'

/** `evenpull backup CONFIG FOLDER`: everything of a gateway in one folder. */
export const backup: Command = {
  name: 'backup',
  summary: 'Copy config, revisions, users, alarm states and everything recorded into a folder; the gateway may run',
  operand: { name: 'CONFIG', help: 'the YAML file of the gateway' },
  more: [{ name: 'FOLDER', help: 'a new or empty folder' }],
  flags: {},
  notes: [
    'Each file is kept with its digest; evenpull restore holds them against it.',
    'Files that the config names (keys, passwords, recordings) are not copied; they are listed.',
  ],
  async run({ operand, more, json, out }) {
    const folder = resolve(more[0] ?? '')
    const { files, notInIt } = await backUp(operand, folder, Date.now())
    if (json) out(JSON.stringify({ ok: true, folder, files, notInIt }))
    else {
      const bytes = files.reduce((sum, file) => sum + file.bytes, 0)
      out(`${folder}: ${files.length} files, ${(bytes / 1e6).toFixed(1)} MB`)
      for (const path of notInIt) out(`not in it, keep it elsewhere: ${path}`)
    }
    return 0
  },
}
