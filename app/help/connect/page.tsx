import type { Metadata } from 'next'
import { ConnectHelp } from './ConnectHelp.tsx'

export const metadata: Metadata = { title: 'Help: connect an amplifier' }

export default function ConnectPage() {
  return <ConnectHelp />
}
