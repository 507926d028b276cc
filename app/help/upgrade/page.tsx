import type { Metadata } from 'next'
import { UpgradeHelp } from './UpgradeHelp.tsx'

export const metadata: Metadata = { title: 'Help: upgrade' }

export default function UpgradePage() {
  return <UpgradeHelp />
}
