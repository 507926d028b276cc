'use client'

import { useHealth, useLink } from '../_stream/store.ts'
import { RoleGate } from '../_ui/access/RoleGate.tsx'
import { formatClock } from '../_ui/format.ts'
import { useQuery } from '../_ui/query.ts'
import { CalibrationEntry } from './_calibration/CalibrationEntry.tsx'
import { CalibrationView } from './_calibration/CalibrationView.tsx'
import { ChannelTable } from './_devices/ChannelTable.tsx'
import { DeviceCard } from './_devices/DeviceCard.tsx'
import deviceStyles from './_devices/Devices.module.css'
import { ForwardPanel } from './_forward/ForwardPanel.tsx'
import { RecorderPanel } from './_recorder/RecorderPanel.tsx'
import { RegisterViewer } from './_registers/RegisterViewer.tsx'
import { RevisionTable } from './_revisions/RevisionTable.tsx'
import { UsersPanel } from './_users/UsersPanel.tsx'
import { ConfigInForce } from './ConfigInForce.tsx'
import { ConnectGuide } from './ConnectGuide.tsx'
import { connectionSentence } from './health-words.ts'
import styles from './SetUp.module.css'

/** Is it connected, and to what? */
export function SetUpView() {
  const health = useHealth()
  const isHeard = useLink().phase === 'live'
  const calibrated = useQuery('calibrate')
  if (calibrated !== null) return <CalibrationView key={calibrated} zoneId={calibrated} />
  if (health === null) {
    return (
      <div className={styles.page} data-testid="set-up">
        <header className={styles.intro}>
          <h1>Set-up</h1>
          <p>Waiting for the gateway: devices, channels and the config appear here as soon as it answers.</p>
        </header>
        <ConnectGuide />
      </div>
    )
  }
  const deviceName = (id: string) => health.devices.find((device) => device.id === id)?.name ?? id
  return (
    <div className={styles.page} data-testid="set-up">
      <header className={styles.intro}>
        <h1>Set-up</h1>
        <p className={styles.lead} data-testid="set-up-answer">
          {isHeard
            ? connectionSentence(health)
            : `The gateway is not heard. All below is of ${formatClock(health.timeMs)}.`}
        </p>
        <p className={styles.caution}>
          This product writes to no device and is not a safety device. Work on the amplifier, the cells or their wiring
          with the machine stopped and locked out under your site’s procedure.
        </p>
      </header>
      <section className={styles.section} aria-labelledby="devices-title">
        <h2 id="devices-title">Devices</h2>
        <div className={deviceStyles.devices}>
          {health.devices.map((device) => (
            <DeviceCard key={device.id} device={device} channels={health.channels} isHeard={isHeard} />
          ))}
        </div>
      </section>
      <section className={styles.section} aria-labelledby="channels-title">
        <h2 id="channels-title">Channels</h2>
        <ChannelTable channels={health.channels} deviceName={deviceName} isHeard={isHeard} />
      </section>
      <section className={styles.section} aria-labelledby="calibration-title">
        <h2 id="calibration-title">Calibration</h2>
        <CalibrationEntry />
      </section>
      <section className={styles.section} aria-labelledby="registers-title" data-testid="register-viewer">
        <h2 id="registers-title">Register viewer</h2>
        <RoleGate needs="operate">
          <RegisterViewer health={health} />
        </RoleGate>
      </section>
      <RecorderPanel recorder={health.recorder} />
      {health.forward !== undefined && <ForwardPanel forward={health.forward} />}
      <ConfigInForce config={health.config} />
      <section className={styles.section} id="revisions" aria-labelledby="revisions-title">
        <h2 id="revisions-title">Revisions</h2>
        <RevisionTable revision={health.config.revision} />
      </section>
      <section className={styles.section} id="users" aria-labelledby="users-title">
        <h2 id="users-title">Users</h2>
        <UsersPanel />
      </section>
      <ConnectGuide />
    </div>
  )
}
