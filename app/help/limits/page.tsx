import type { Metadata } from 'next'
import { LimitsHelp } from './LimitsHelp.tsx'

export const metadata: Metadata = { title: 'Help: limits' }

export default function LimitsPage() {
  return <LimitsHelp />
}
