import type { Metadata } from 'next'
import { ContainerHelp } from './ContainerHelp.tsx'

export const metadata: Metadata = { title: 'Help: run in a container' }

export default function ContainerPage() {
  return <ContainerHelp />
}
