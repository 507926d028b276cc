'use client'

import Link from 'next/link'
import { CopyText } from '../../_ui/CopyText.tsx'
import { FIRST_CONNECTION } from '../_model/first-connection.ts'
import { Command } from '../_parts/Command.tsx'
import { Caution, HelpPage, Note, Points, Section, Steps } from '../_parts/HelpPage.tsx'

export function ConnectHelp() {
  return (
    <HelpPage
      path="/help/connect"
      lead="You need the amplifier’s address and the page of its manual that lists its registers. Everything here can be tried on a stand-in first: the commands run as they stand."
    >
      <Section id="before" title="Before you begin">
        <Caution>
          Wiring is done with the machine stopped and locked out under the site’s procedure, by qualified people, and as
          the amplifier’s maker says.
        </Caution>
        <Points>
          <li>Address and port of the amplifier, or the serial line with its speed and parity.</li>
          <li>Unit id, function code 3 or 4, and the registers of both signals.</li>
          <li>Type and word order of those registers.</li>
          <li>What the numbers stand for: counts to mA, V or mV/V.</li>
          <li>Zero, gain and capacity of each cell, from its certificate or your own calibration.</li>
        </Points>
        <Note>In a clone of the project, type npm run evenpull -- in place of evenpull.</Note>
      </Section>
      <Section id="steps" title="Five steps">
        <Steps>
          <li>
            <p>Look at the registers. Ten of them are read once and shown in every type and order side by side.</p>
            <Command id="probe" label="Read ten registers once" />
            <p>On a serial line, stop any other master first.</p>
            <Command id="probeSerial" label="Read registers on a serial line" />
          </li>
          <li>
            <p>Find the register that belongs to each end, by pressing the end of the roller’s bearing by hand.</p>
            <Caution>
              Only with the machine stopped and locked out under the site’s procedure, the web out of the way and nobody
              else at the machine. Where the maker or the site forbids it, leave it out and follow the wires.
            </Caution>
            <p>Read again: the number that moves sensibly is the one.</p>
          </li>
          <li>
            <p>Write it down. This file, line.yaml, is enough for one pair of cells.</p>
            <CopyText text={FIRST_CONNECTION} label="A first config" />
            <p>
              Put in your own address, registers, zero and gain. Take the two lines with stuck_after_s out for a real
              cell: they are there for the stand-in, whose numbers do not move.
            </p>
          </li>
          <li>
            <p>Check the file, and look at the machine that is to run it.</p>
            <Command id="check" label="Check the config" />
            <Command id="doctor" label="Look at this machine" />
            <p>A wrong line is named with its column and what to write instead.</p>
          </li>
          <li>
            <p>Run it, and open the address that it prints.</p>
            <Command id="run" label="Run the gateway" />
            <p>
              An edit of the file is taken over while it runs. A wrong edit is refused, and the config before it stays
              in force.
            </p>
          </li>
        </Steps>
      </Section>
      <Section id="seen" title="What you should see">
        <Points>
          <li>Set-up says that the device answers, and that both channels read good.</li>
          <li>Live shows a force on each side, each with its uncertainty.</li>
          <li>With the stand-in: 250 N, 275 N, and a side difference of +4.8 %.</li>
          <li>Until zero, gain and capacity are your own, a force shown is no measurement.</li>
        </Points>
        <p>
          If you see something else, look it up under <Link href="/help/symptoms">Symptoms</Link>.
        </p>
      </Section>
      <Section id="next" title="What comes next">
        <Points>
          <li>
            <Link href="/geometry">Geometry</Link> says what each side should read, once the web path is drawn.
          </li>
          <li>
            <Link href="/verification">Verification</Link> leads through the tests that prove the install.
          </li>
          <li>Set-up has the calibration with known weights.</li>
          <li>
            <Link href="/help/service">Run as a service</Link> makes it start with the machine.
          </li>
        </Points>
      </Section>
      <Section id="stand-in" title="No amplifier at hand?">
        <p>A Modbus server that others wrote stands in for it. On Debian it needs gcc, pkg-config and libmodbus-dev.</p>
        <Command id="makeStandIn" label="Make the stand-in, in a clone" />
        <Command id="standIn" label="Run the stand-in" />
        <p>
          It answers 12.0 mA on the drive side and 12.8 mA on the operator side. Type set 1 3500 at it: 3.5 mA is a
          broken wire by NAMUR NE 43, and the operator side says so instead of a number. Type set 1 12800, and it is
          healed.
        </p>
      </Section>
      <Section id="well" title="How to read well">
        <Points>
          <li>Put both cells on one device: one request then reads them at the same instant.</li>
          <li>One device in the config is one physical line, with any number of unit ids on it.</li>
          <li>Ask no faster than the wire can: the check does the arithmetic for serial lines and says it.</li>
          <li>A sample is dated at the middle of request and response, to half the round trip.</li>
          <li>Only function codes 01 to 04 leave the gateway. It never writes to a device.</li>
        </Points>
      </Section>
    </HelpPage>
  )
}
