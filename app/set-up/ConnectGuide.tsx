import { CopyText } from '../_ui/CopyText.tsx'
import { HelpLink } from '../_ui/HelpLink.tsx'
import styles from './SetUp.module.css'
import { SMALLEST_CONFIG } from './smallest-config.ts'

/** From a boxed amplifier to a first picture, in five steps. */
export function ConnectGuide() {
  return (
    <section className={styles.section} aria-labelledby="connect-title" data-testid="connect-guide">
      <h2 id="connect-title">Connect an amplifier</h2>
      <div className={styles.guide}>
        <ol className={styles.steps}>
          <li>
            Wire the amplifier and the cells with the machine stopped and locked out under your site’s procedure, as the
            amplifier’s maker says.
          </li>
          <li>
            Look up in its manual: network address or serial settings, unit id, and the registers that hold the two
            signals. Without a manual, the register viewer, or <code>npm run evenpull -- probe HOST:PORT</code> before
            there is a config, shows a range in every type: the numbers that follow the tension are the cells.
          </li>
          <li>
            Write a config like this one and save it. The gateway checks it, says any mistake with line and column, and
            takes it up without a restart.
          </li>
          <li>
            Here on this page: the device answers, both channels are good, and the raw numbers move when the machine
            runs.
          </li>
          <li>
            Put in zero, gain and capacity from your own calibration. Until then a force shown is not a measurement.
          </li>
        </ol>
        <div className={styles.example}>
          <CopyText text={SMALLEST_CONFIG} label="The smallest config" />
          <p className={styles.soft}>
            4 to 20 mA in thousandths over 1000 N is only an example: 62.5 N per mA. Read both sides from one device
            where you can: one request then reads them at the same instant.
          </p>
          <HelpLink to="/help/connect">The same at length, with a stand-in to try it on</HelpLink>
        </div>
      </div>
    </section>
  )
}
