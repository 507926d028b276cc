import type { Metadata } from 'next'
import { BackupHelp } from './BackupHelp.tsx'

export const metadata: Metadata = { title: 'Help: back up and restore' }

export default function BackupPage() {
  return <BackupHelp />
}
