import type { Command } from './command.ts'
import { backup } from './commands/backup.ts'
import { check } from './commands/check.ts'
import { doctor } from './commands/doctor.ts'
import { exportCommand } from './commands/export.ts'
import { probe } from './commands/probe.ts'
import { replay } from './commands/replay.ts'
import { report } from './commands/report.ts'
import { restoreCommand } from './commands/restore.ts'
import { run } from './commands/run.ts'
import { service } from './commands/service.ts'
import { simulate } from './commands/simulate.ts'
import { users } from './commands/users.ts'

/** Every command, in the order of the help. A new command is a file and a line here. */
export const COMMANDS: readonly Command[] = [
  run,
  check,
  doctor,
  simulate,
  probe,
  replay,
  exportCommand,
  report,
  users,
  backup,
  restoreCommand,
  service,
]
