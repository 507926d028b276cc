import { describe, expect, it } from 'vitest'
import { pagePolicy } from '../../gateway/http/security-headers.ts'

describe('pagePolicy', () => {
  it('names the inline script of the CSP specification by the hash given there', () => {
    // W3C Content Security Policy Level 2, the example of hash usage for script elements:
    // "alert('Hello, world.');" → qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng=
    const policy = pagePolicy("<script>alert('Hello, world.');</script>")
    expect(policy).toContain("script-src 'self' 'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng=';")
  })

  it('never allows inline code at large', () => {
    const policy = pagePolicy('<script>a()</script><p style="color:red">x</p><style>p{}</style>')
    expect(policy).not.toContain("'unsafe-inline'")
    expect(policy).not.toContain("'unsafe-eval'")
    expect(policy).toContain("frame-ancestors 'none'")
    expect(policy).toContain("base-uri 'none'")
  })

  it('hashes each inline script once, and none that has a source', () => {
    const policy = pagePolicy('<script src="/a.js" async=""></script><script>b()</script><script id="x">b()</script>')
    expect(policy.match(/'sha256-/g)).toHaveLength(1)
  })

  it('is not misled by a script that speaks of scripts, or attributes that hold an angle bracket', () => {
    const one = pagePolicy('<script>push("\\u003cscript src=x")</script>')
    expect(one.match(/'sha256-/g)).toHaveLength(1)
    const two = pagePolicy('<script data-x="a>b" src="/a.js"></script>')
    expect(two).toContain("script-src 'self';")
  })

  it('hashes line ends as the parser of a browser reads them', () => {
    expect(pagePolicy('<script>a()\r\nb()</script>')).toBe(pagePolicy('<script>a()\nb()</script>'))
  })

  it('allows style attributes by hash where there are some, and none where there are not', () => {
    expect(pagePolicy('<p>x</p>')).toContain("style-src-attr 'none'")
    expect(pagePolicy('<p style="color:red">x</p>')).toMatch(/style-src-attr 'unsafe-hashes' 'sha256-[^']+'/)
    expect(pagePolicy('<script>x=\'<p style="color:red">\'</script>')).toContain("style-src-attr 'none'")
  })
})
