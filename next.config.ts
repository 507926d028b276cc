import type { NextConfig } from 'next'

/** A static export: the gateway serves page, API and stream from one origin (DEVELOPERS.md, decision 2). */
const config: NextConfig = {
  output: 'export',
  reactStrictMode: true,
  poweredByHeader: false,
  images: { unoptimized: true },
  // `npm test` checks the types of the whole tree; a start need not wait for that.
  typescript: { ignoreBuildErrors: true },
}

export default config
