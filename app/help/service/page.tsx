import type { Metadata } from 'next'
import { ServiceHelp } from './ServiceHelp.tsx'

export const metadata: Metadata = { title: 'Help: run as a service' }

export default function ServicePage() {
  return <ServiceHelp />
}
