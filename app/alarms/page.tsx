import type { Metadata } from 'next'
import { AlarmsView } from './AlarmsView.tsx'

export const metadata: Metadata = { title: 'Alarms' }

export default function AlarmsPage() {
  return <AlarmsView />
}
