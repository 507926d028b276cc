'use client'

import { Command } from '../_parts/Command.tsx'
import { HelpPage, Note, Points, Section, Steps } from '../_parts/HelpPage.tsx'

export function UpgradeHelp() {
  return (
    <HelpPage
      path="/help/upgrade"
      lead="The store is brought to the form of the new version at its first start, whole or not at all. The way back is the backup."
    >
      <Section id="steps" title="Step by step">
        <Steps>
          <li>
            <p>Back up.</p>
            <Command id="backup" label="Back up into a new folder" />
          </li>
          <li>
            <p>Stop the gateway. Nobody watches the line meanwhile: say so to whoever relies on it.</p>
            <Command id="stopUnit" label="Stop the service" />
          </li>
          <li>
            <p>Install the package of the new version.</p>
            <Command id="install" label="Install the package" />
            <Command id="version" label="Ask for its version" />
          </li>
          <li>
            <p>Hold the config against it. A key that is no longer known is named with its line.</p>
            <Command id="check" label="Check the config" />
          </li>
          <li>
            <p>Start it, and look whether both sides are live.</p>
            <Command id="startUnit" label="Start the service" />
          </li>
        </Steps>
        <Note>
          In a clone, bring the new sources and type npm start: it installs and builds what is missing. With a
          container, make the image anew and run it on the same folder.
        </Note>
      </Section>
      <Section id="after" title="What changes by itself">
        <Points>
          <li>Pages that are open say that the gateway speaks another version, and ask to be loaded again.</li>
          <li>Everybody stays logged in.</li>
          <li>Figures begin their windows anew; what was recorded is there.</li>
        </Points>
      </Section>
      <Section id="back" title="The way back">
        <p>
          An older version refuses a store of a newer one and leaves it untouched; the error is EVP_STORE_NEWER. Install
          the older version, and restore the backup into a new folder.
        </p>
        <Command id="restore" label="Put a backup back" />
        <Note>What was recorded between the upgrade and the way back stays in the newer store alone.</Note>
      </Section>
    </HelpPage>
  )
}
