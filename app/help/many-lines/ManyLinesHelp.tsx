'use client'

import { SIZING, type SizingConstant } from '../../../lib/sizing/constants.ts'
import { CopyText } from '../../_ui/CopyText.tsx'
import { SENDING_ON } from '../_model/first-connection.ts'
import { Command } from '../_parts/Command.tsx'
import { FactTable } from '../_parts/FactTable.tsx'
import { HelpPage, Note, Points, Section, Steps } from '../_parts/HelpPage.tsx'
import { SizingCalculator } from './SizingCalculator.tsx'

const NAMES: Readonly<Record<keyof typeof SIZING, string>> = {
  sampleBytes: 'A sample on the disk',
  rollUpBytes: 'Roll-ups on the disk',
  minuteBytes: 'A minute of a zone on the disk',
  zoneMessageBytes: 'Message of a zone',
  deviceMessageBytes: 'Message of a device',
  stateMessageBytes: 'Message of a state',
  packetBytes: 'Beside each message',
  storedFigureBytes: 'A figure in a history',
  storedFigures: 'Figures kept in a history',
  pictureBytes: 'A picture to an open page',
  restOfPageBytes: 'Beside the pictures to an open page',
}

const constants = Object.entries(SIZING) as [keyof typeof SIZING, SizingConstant][]

export function ManyLinesHelp() {
  return (
    <HelpPage
      path="/help/many-lines"
      lead="A gateway for each line, one broker for the plant, one history behind it. Each gateway works alone: when the rest is down, its line is still watched and recorded."
    >
      <Section id="shape" title="How it fits together">
        <Steps>
          <li>Each line has a gateway near its amplifiers, with a config, a store and pages of its own.</li>
          <li>
            Each gateway publishes figures, verdicts, alarms and events to the broker of the plant. It subscribes to
            nothing.
          </li>
          <li>Whoever keeps the history of the plant listens at the broker, and writes what it wants to keep.</li>
          <li>Single samples stay at the gateway. They are fetched from there when somebody needs them.</li>
        </Steps>
        <Points>
          <li>There is no page for all lines: that is the job of what listens at the broker.</li>
          <li>Give each line its own topic, or its own plant and line: the topic comes from them.</li>
          <li>Name zones alike in all lines, so that one rule fits all.</li>
        </Points>
      </Section>
      <Section id="sending-on" title="In each config">
        <CopyText text={SENDING_ON} label="Sending on to a broker" />
        <p>
          The password stands alone in its file beside the config. The topics and payloads are told in README under
          Sending on, and by shared/schemas/forward.schema.json.
        </p>
        <p>To hear it at another machine:</p>
        <Command id="listen" label="Listen at the broker" />
      </Section>
      <Section id="history" title="What a history must know">
        <Points>
          <li>
            Take the topics that end in values and those of events: they come in order, and none is lost up to what the
            outbox holds.
          </li>
          <li>The topics that end in now tell the moment, and expire. They are for displays.</li>
          <li>The same queue and seq are the same message come twice. A number that is missing was dropped.</li>
          <li>A value of null is unknown. Never store it as zero.</li>
          <li>Store limit and verdict with a value: limits change.</li>
        </Points>
        <p>Where a plant scrapes /metrics instead, each gateway gets a user for the machine that asks, with a token:</p>
        <Command id="collector" label="A token for a machine" />
      </Section>
      <Section id="size" title="How much it is">
        <p>On paper, for lines that are alike. Type your own numbers; nothing leaves this page.</p>
        <SizingCalculator />
        <Note>
          Nothing is added for what happens rarely: events, alarms, catching up after an outage (500 messages a second
          at most), backups. Leave room of at least as much again.
        </Note>
      </Section>
      <Section id="constants" title="Where these numbers are from">
        <FactTable
          caption="What the sizing rests on; lib/sizing/constants.ts"
          head={['What', 'Takes', 'Known', 'From']}
          rows={constants.map(([key, { value, unit, known, from }]) => [NAMES[key], `${value} ${unit}`, known, from])}
        />
        <Note>
          A gateway with the demo line took about 0.25 GB of memory at rest in one run on one machine, its polling
          process included. What a broker or a database can take is for their makers to say.
        </Note>
      </Section>
      <Section id="thousand" title="At a thousand">
        <Points>
          <li>Nothing in a gateway grows with the number of gateways. The broker and the history do.</li>
          <li>
            Configs: one template and a file of differences for each line, checked by evenpull check before it is
            copied.
          </li>
          <li>Clocks: all machines follow one time server of the plant, or times of two lines cannot be compared.</li>
          <li>Backups: at different minutes, to a disk that is not the gateway’s.</li>
          <li>Upgrades: one line first, a day of watching, then the others.</li>
          <li>Nobody has run a thousand of them yet: this is arithmetic, and the constants above.</li>
        </Points>
      </Section>
    </HelpPage>
  )
}
