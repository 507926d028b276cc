import type { Figure } from '../../shared/schemas/now.ts'
import { HelpLink } from './HelpLink.tsx'
import styles from './Why.module.css'

/** The places of Help that go on where a figure's reasons end. */
export function WhyHelp({ figure }: { readonly figure: Figure }) {
  const { state, reason } = figure.verdict
  return (
    <p className={styles.help}>
      <HelpLink to="/help/figures#live">How each number is got</HelpLink>
      {figure.limit !== null && <HelpLink to="/help/limits#own">Set your own limit</HelpLink>}
      {reason.kind === 'no-time-will-settle' && <HelpLink to="/help/symptoms#undecided">Undecided for ever?</HelpLink>}
      {state === 'unknown' && <HelpLink to="/help/symptoms#judging">Why unknown?</HelpLink>}
      {figure.assumed === true && <HelpLink to="/help/symptoms#assumed">An assumed uncertainty</HelpLink>}
    </p>
  )
}
