import { Command } from '../_parts/Command.tsx'
import { Section } from '../_parts/HelpPage.tsx'
import { LockedOut, LookFirst, MayBe, Settles, Symptom, Where } from './Symptom.tsx'

/** No number, or one that cannot be. */
export function SignalSymptoms() {
  return (
    <Section id="signals" title="No number, or nonsense">
      <Symptom id="wire-break" title="Wire break, or short circuit" faults={['open-bridge', 'intermittent-cable']}>
        <MayBe>A cut wire, an open bridge, a plug that came off: the current is at a failure level of NE 43.</MayBe>
        <LookFirst>Plug and cable of that side. If it comes and goes, where the cable moves.</LookFirst>
        <Settles>Bridge resistance against the certificate; move the cable by hand and watch.</Settles>
        <Where href="/verification">Verification, Electric: bridge and wiggle.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="frozen" title="A number is frozen" faults={['stuck-value']}>
        <MayBe>
          The converter or the amplifier’s program has stopped, or a register is not the one that is measured.
        </MayBe>
        <LookFirst>Whether the other side moves, and the lamps of the amplifier.</LookFirst>
        <Settles>Read the registers: the raw value of a live cell never stands still.</Settles>
        <Where href="/set-up">Set-up: channels and the register viewer.</Where>
      </Symptom>
      <Symptom id="device-lost" title="The device does not answer">
        <MayBe>Power, cable, address, unit id, or another program that holds the line.</MayBe>
        <LookFirst>What the doctor says of each device. It connects and leaves again; it sends nothing.</LookFirst>
        <Settles>
          <Command id="doctor" label="Look at this machine" />
          <Command id="probe" label="Read ten registers once" />
        </Settles>
        <Where href="/set-up">Set-up: each device with its newest error and what to do.</Where>
      </Symptom>
      <Symptom id="device-slow" title="The device answers slower than asked">
        <MayBe>The wire or the device cannot go faster, or registers far apart need more requests.</MayBe>
        <LookFirst>Asked and reached rate, and the requests of the device.</LookFirst>
        <Settles>A lower rate_hz, a higher baud rate, or registers that lie together.</Settles>
        <Where href="/set-up">Set-up: devices.</Where>
      </Symptom>
      <Symptom id="serial-permission" title="The serial line cannot be opened">
        <MayBe>This user may not open it, the path is another, or a program holds it.</MayBe>
        <LookFirst>Which lines there are. The names in this folder do not change with the socket.</LookFirst>
        <Settles>
          <Command id="serialLines" label="List the serial lines" />
          <Command id="serialGroup" label="Let this user open serial lines" />
          Then log in anew. The group is dialout on many systems; the owner of the device file says which.
        </Settles>
        <Where href="/set-up">Set-up: error EVP_SERIAL_OPEN.</Where>
      </Symptom>
      <Symptom id="nonsense" title="Numbers are huge, tiny or jump wildly">
        <MayBe>Another word order or type, or an address that is off by one.</MayBe>
        <LookFirst>The register viewer: it shows a range in every type and order.</LookFirst>
        <Settles>The one that follows a push or the tension. Manuals count from 0 or from 1.</Settles>
        <Where href="/set-up">Set-up: register viewer.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="uncertain" title="A value is shown as uncertain, and no figure follows">
        <MayBe>The signal is between good and failed, outside the range you set, or over the cell’s capacity.</MayBe>
        <LookFirst>The reason beside the value. Over capacity: take load off, then look at the zero.</LookFirst>
        <Settles>Figures are made of good samples alone; they come back by themselves.</Settles>
        <Where href="/">Live: the side says why.</Where>
      </Symptom>
      <Symptom id="gaps" title="Gaps come and go in the trace" faults={['intermittent-cable']}>
        <MayBe>A cable that breaks for moments, noise on the bus, a network that loses packets.</MayBe>
        <LookFirst>The reason of the gap, under the cursor.</LookFirst>
        <Settles>Bad answers are thrown away and counted: timeouts point at the way, wire breaks at the cell.</Settles>
        <Where href="/set-up">Set-up: counters of each device.</Where>
      </Symptom>
    </Section>
  )
}
