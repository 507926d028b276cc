import { Command } from '../_parts/Command.tsx'
import { Section } from '../_parts/HelpPage.tsx'
import { LookFirst, MayBe, Settles, Symptom, Where } from './Symptom.tsx'

/** The program, its machine, its disk and its network. */
export function GatewaySymptoms() {
  return (
    <Section id="gateway" title="The gateway, its disk and its network">
      <Symptom id="picture-old" title="The page says that the connection is lost, or that no new figures come">
        <MayBe>The gateway was stopped, its machine is off, or the network between is.</MayBe>
        <LookFirst>Whether the gateway answers on its own machine.</LookFirst>
        <Settles>
          <Command id="health" label="Ask the gateway how it is" />
          The page tries again by itself, and gets what it missed.
        </Settles>
        <Where href="/help/service">Run as a service: state and log.</Where>
      </Symptom>
      <Symptom id="does-not-start" title="The gateway does not start">
        <MayBe>The port is taken, the config is wrong, or it would listen to others without a user.</MayBe>
        <LookFirst>Its last line: a code, what and where, and what to do.</LookFirst>
        <Settles>
          <Command id="check" label="Check the config" />
          <Command id="doctor" label="Look at the machine of the gateway" />
        </Settles>
        <Where href="/help/connect">Connect an amplifier.</Where>
      </Symptom>
      <Symptom id="edit-refused" title="An edit of the config is not taken over">
        <MayBe>It is wrong somewhere: the config before it stays in force.</MayBe>
        <LookFirst>The banner on every page: line, column, and what to write instead.</LookFirst>
        <Settles>Mend the line and save; no restart is needed.</Settles>
        <Where href="/set-up">Set-up: the config in force.</Where>
      </Symptom>
      <Symptom id="log-in" title="Nobody can log in, or requests are refused">
        <MayBe>Name or password, waiting after too many tries, or an address under another name.</MayBe>
        <LookFirst>The sentence at the log-in. After failures each next try has to wait longer.</LookFirst>
        <Settles>
          A new password at the machine, with evenpull users password. A host name that people type belongs into names
          in the part gateway.
        </Settles>
        <Where href="/trail">Trail: log-ins and refusals.</Where>
      </Symptom>
      <Symptom id="disk-full" title="The disk is full, or recording has stopped">
        <MayBe>Too little space for the days that are kept, or something else fills the disk.</MayBe>
        <LookFirst>Free space where the store is.</LookFirst>
        <Settles>
          <Command id="space" label="Show free space" />
          Free some, or keep less in recorder. Live goes on; recording is whole again by itself.
        </Settles>
        <Where href="/set-up">Set-up: what is kept.</Where>
      </Symptom>
      <Symptom id="clock" title="Times are wrong, or stand ahead">
        <MayBe>The machine’s clock was wrong, and was set.</MayBe>
        <LookFirst>Whether the clock follows a time server.</LookFirst>
        <Settles>
          <Command id="clock" label="Show the clock" />
          Recorded time only grows. After a step back it stands ahead until the clock has caught up.
        </Settles>
        <Where href="/trail">Trail: clock steps.</Where>
      </Symptom>
      <Symptom id="nothing-recorded" title="Shift shows nothing">
        <MayBe>Nothing was recorded in this stretch, or recording is off.</MayBe>
        <LookFirst>The times at the top of Shift, and what it says of the nearest data.</LookFirst>
        <Settles>A drift takes 30 steady minutes, a control chart 90.</Settles>
        <Where href="/shift">Shift.</Where>
      </Symptom>
      <Symptom id="broker" title="The broker hears nothing">
        <MayBe>Address, certificate, password, or what the broker lets this user publish.</MayBe>
        <LookFirst>What Set-up says of sending on: the newest error, and how many messages wait.</LookFirst>
        <Settles>Messages wait on the disk and go out in their order when the broker takes them.</Settles>
        <Where href="/set-up">Set-up: sending on.</Where>
      </Symptom>
      <Symptom id="record-damaged" title="A record is called damaged">
        <MayBe>Something in the store was changed since, or the disk was.</MayBe>
        <LookFirst>Which entry: evenpull report, with the config, the record and --check.</LookFirst>
        <Settles>The record from a backup. What the hash does not fit is no evidence.</Settles>
        <Where href="/help/backup">Back up and restore.</Where>
      </Symptom>
    </Section>
  )
}
