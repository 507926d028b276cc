'use client'

import { Command } from '../_parts/Command.tsx'
import { HelpPage, Note, Points, Section, Steps } from '../_parts/HelpPage.tsx'

export function ContainerHelp() {
  return (
    <HelpPage
      path="/help/container"
      lead="The file gateway/deploy/Containerfile makes an image of the package. Config, users and records stay outside, in one folder."
    >
      <Section id="build" title="Make the image">
        <p>In a clone:</p>
        <Command id="pack" label="Make the package" />
        <Command id="buildImage" label="Make the image" />
        <Note>
          The tests hold every step of that file against the package outside a container. No image is built by them.
          With Docker, type docker in place of podman and leave --userns out.
        </Note>
      </Section>
      <Section id="run" title="Run it">
        <Steps>
          <li>
            <p>
              Make a folder line-1 with line.yaml in it. Inside a container the gateway must listen on all addresses:
              set host to 0.0.0.0 in the part gateway.
            </p>
          </li>
          <li>
            <p>Such an address needs a user first. The password is asked for.</p>
            <Command id="containerUser" label="Add the first user" />
          </li>
          <li>
            <p>
              Start it. It is reached at port 8420 of this machine alone; publish it otherwise if others are to reach
              it.
            </p>
            <Command id="runContainer" label="Start the container" />
          </li>
        </Steps>
      </Section>
      <Section id="needs" title="What it needs from outside">
        <Points>
          <li>
            The folder must be writable for user 1000 of the container. Podman without root does that with --userns as
            above; with Docker, give the folder to user 1000.
          </li>
          <li>A serial line is handed in with --device /dev/ttyUSB0 --group-add keep-groups.</li>
          <li>
            A host name that people type goes into names in the part gateway; requests under other names are refused.
          </li>
          <li>The disk of the folder is the disk of the records: its free space is what the gateway watches.</li>
          <li>The clock is the host’s.</li>
        </Points>
      </Section>
    </HelpPage>
  )
}
