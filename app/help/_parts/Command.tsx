import { CopyText } from '../../_ui/CopyText.tsx'
import { type CommandId, DOCUMENTED_COMMANDS } from '../_model/commands.ts'

/** A command to copy, as a test runs it. @param label what it does, for those who hear the page */
export function Command({ id, label }: { readonly id: CommandId; readonly label: string }) {
  return <CopyText text={DOCUMENTED_COMMANDS[id]} label={label} />
}
