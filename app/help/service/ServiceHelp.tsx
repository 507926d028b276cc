'use client'

import Link from 'next/link'
import { Command } from '../_parts/Command.tsx'
import { HelpPage, Note, Points, Section, Steps } from '../_parts/HelpPage.tsx'

export function ServiceHelp() {
  return (
    <HelpPage
      path="/help/service"
      lead="On a machine with systemd the gateway is started with the machine, started again after a fault, and may write nothing but the folders of its config and its store."
    >
      <Section id="install" title="Install without a clone">
        <p>In a clone, make the package. It carries the built pages.</p>
        <Command id="pack" label="Make the package" />
        <p>On the machine that is to run it, with Node 20.9 or newer:</p>
        <Command id="install" label="Install the package" />
        <Command id="version" label="Ask for its version" />
      </Section>
      <Section id="unit" title="Make it a service">
        <Steps>
          <li>
            <p>A user of its own, whose folder holds the config.</p>
            <Command id="serviceUser" label="Make the user" />
            <p>Put line.yaml into that folder and give it to that user.</p>
          </li>
          <li>
            <p>Print the unit for this config. Type the full path of the file if you stand elsewhere.</p>
            <Command id="printUnit" label="Print the unit" />
          </li>
          <li>
            <p>Let systemd look at it. No line about this unit means that nothing is wrong with it.</p>
            <Command id="verifyUnit" label="Verify the unit" />
          </li>
          <li>
            <p>Put it where systemd looks, and start it.</p>
            <Command id="enableUnit" label="Enable the unit" />
          </li>
          <li>
            <p>See how it does.</p>
            <Command id="unitState" label="State and log of the unit" />
          </li>
        </Steps>
      </Section>
      <Section id="what" title="What the unit says">
        <Points>
          <li>It waits for the network, and is ordered after the clock has been set where the system offers that.</li>
          <li>It is started again five seconds after a fault, not after a stop that was asked for.</li>
          <li>The system is read-only for it, but for the folders of config and store.</li>
          <li>
            With a serial device in the config it gets the group dialout. Change that where your system names another.
          </li>
          <li>A folder of the store that lies elsewhere must be there before the first start.</li>
          <li>Two lines on one machine are two configs in two folders, with two ports and two units.</li>
        </Points>
      </Section>
      <Section id="others" title="If others are to reach it">
        <p>
          As it comes, only this machine reaches the gateway. Set host to an address of the machine in the part gateway
          of the config. It is refused until there is a user.
        </p>
        <Command id="firstUser" label="Add the first user, an engineer" />
        <Note>
          Without TLS, whoever listens on the network reads passwords. README tells under Log-in, roles, TLS how to name
          a certificate.
        </Note>
        <p>
          Then: <Link href="/help/backup">back up and restore</Link>.
        </p>
      </Section>
    </HelpPage>
  )
}
