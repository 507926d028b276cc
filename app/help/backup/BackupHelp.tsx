'use client'

import Link from 'next/link'
import { Command } from '../_parts/Command.tsx'
import { HelpPage, Note, Points, Section, Steps } from '../_parts/HelpPage.tsx'

export function BackupHelp() {
  return (
    <HelpPage
      path="/help/backup"
      lead="Everything of a gateway goes into one folder while it goes on recording, each file with its digest. It comes back where nothing stands yet."
    >
      <Section id="backup" title="Back up">
        <Command id="backup" label="Back up into a new folder" />
        <p>The folder must be new or empty. So a backup of each day goes into a folder of its own:</p>
        <Command id="backupDaily" label="Back up into the folder of today" />
        <p>Keep a copy on another machine, and let the system’s own timer call it.</p>
      </Section>
      <Section id="in-it" title="What is in it">
        <Points>
          <li>The config, and every text of it that was in force, with who and when.</li>
          <li>Everything recorded: samples, figures, minutes, the trail, verification records, photos.</li>
          <li>Users with their roles; of passwords and tokens only hashes.</li>
          <li>What people did to alarms.</li>
          <li>At a training machine: what trainees have done, and the exercise that is open.</li>
        </Points>
        <p>Not in it, and listed when the backup is made, is what the config names beside itself:</p>
        <Points>
          <li>Keys, certificates and the broker’s password. Keep them as your site keeps keys.</li>
          <li>Recordings that a device of the kind replay plays.</li>
        </Points>
        <Note>Sessions are not kept: after a restore everybody logs in anew.</Note>
      </Section>
      <Section id="restore" title="Restore">
        <Steps>
          <li>
            <p>
              Every file is held against its digest before the first one is written. Nothing that is there is replaced:
              name a config file in a folder where nothing stands.
            </p>
            <Command id="restore" label="Put a backup back" />
          </li>
          <li>
            <p>Look whether it is sound.</p>
            <Command id="checkRestored" label="Check what was restored" />
          </li>
          <li>Put keys and certificates back where the config names them.</li>
          <li>Stop the old gateway before the new one starts: both would read the same devices.</li>
        </Steps>
        <p>Try a restore before you need one. A backup that nobody has restored is a hope.</p>
      </Section>
      <Section id="else" title="Single things">
        <Points>
          <li>Samples of a range as a file: Shift, Export, or the command evenpull export.</li>
          <li>
            A verification record as one page that stands alone: its report, in the language of whoever asks for it.
          </li>
          <li>
            Before a newer version: see <Link href="/help/upgrade">Upgrade</Link>.
          </li>
        </Points>
      </Section>
    </HelpPage>
  )
}
