'use client'

import Link from 'next/link'
import styles from '../_parts/Help.module.css'
import { Caution, HelpPage } from '../_parts/HelpPage.tsx'
import { GatewaySymptoms } from './GatewaySymptoms.tsx'
import { JudgingSymptoms } from './JudgingSymptoms.tsx'
import { MovingSymptoms } from './MovingSymptoms.tsx'
import { SideSymptoms } from './SideSymptoms.tsx'
import { SignalSymptoms } from './SignalSymptoms.tsx'

export function SymptomsHelp() {
  return (
    <HelpPage path="/help/symptoms" lead="By what you see. The browser’s search finds a word in it.">
      <Caution>
        What is done at a roller, a cell or a wire is done with the machine stopped and locked out under the site’s
        procedure, by qualified people. The site’s rules and the makers’ instructions go before this page.
      </Caution>
      <nav className={styles.jump} aria-label="On this page">
        <a href="#sides">The sides read wrong</a>
        <a href="#moving">It moves, swings or jumps</a>
        <a href="#signals">No number, or nonsense</a>
        <a href="#judging">The verdict does not help</a>
        <a href="#gateway">Gateway, disk, network</a>
      </nav>
      <p>
        <Link href="/diagnosis">Diagnosis weighs these causes by the numbers of your line.</Link>
      </p>
      <SideSymptoms />
      <MovingSymptoms />
      <SignalSymptoms />
      <JudgingSymptoms />
      <GatewaySymptoms />
    </HelpPage>
  )
}
