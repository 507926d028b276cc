import type { Metadata, Viewport } from 'next'
import type { ReactNode } from 'react'
import './globals.css'
import { LANGUAGE_SCRIPT } from './_language/keys.ts'
import { Shell } from './_ui/shell/Shell.tsx'
import { THEME_SCRIPT } from './_ui/theme-script.ts'

export const metadata: Metadata = {
  title: { default: 'Evenpull', template: '%s · Evenpull' },
  description: 'Both ends of a measuring roller: what the load cells read, and an honest verdict on the difference.',
}

export const viewport: Viewport = {
  width: 'device-width',
  initialScale: 1,
  themeColor: [
    { media: '(prefers-color-scheme: light)', color: '#f6f6f4' },
    { media: '(prefers-color-scheme: dark)', color: '#131619' },
  ],
}

export default function Layout({ children }: { readonly children: ReactNode }) {
  return (
    // The theme script sets these two before React wakes up: the attributes that may differ.
    <html lang="en" data-theme="light" data-contrast="normal" suppressHydrationWarning>
      <head>
        {/* biome-ignore lint/security/noDangerouslySetInnerHtml: our own constant; it must run before the first paint */}
        <script dangerouslySetInnerHTML={{ __html: THEME_SCRIPT }} />
        {/* biome-ignore lint/security/noDangerouslySetInnerHtml: our own constant; it must run before the first paint */}
        <script dangerouslySetInnerHTML={{ __html: LANGUAGE_SCRIPT }} />
      </head>
      <body>
        <noscript>This page draws live samples and needs JavaScript; the same figures are at /api/zones.</noscript>
        <Shell>{children}</Shell>
      </body>
    </html>
  )
}
