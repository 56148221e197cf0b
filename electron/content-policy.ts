/**
 * The content security policy of every page, the same for `app://` and for the loopback server: nothing from outside,
 * no inline script, inline style only with this load's nonce.
 */
export function contentPolicy(nonce: string): string {
  return Object.entries({
    'default-src': "'none'",
    'script-src': "'self'",
    'style-src': `'self' 'nonce-${nonce}'`,
    'img-src': "'self' data: blob:",
    'font-src': "'self'",
    'worker-src': "'self'",
    'connect-src': "'self'",
    'frame-src': "'none'",
    'object-src': "'none'",
    'base-uri': "'none'",
    'form-action': "'none'",
    'frame-ancestors': "'none'",
  })
    .map(([directive, sources]) => `${directive} ${sources}`)
    .join('; ')
}

/** Headers every answer carries beside its type. */
export function securityHeaders(nonce: string): Readonly<Record<string, string>> {
  return {
    'content-security-policy': contentPolicy(nonce),
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'cross-origin-opener-policy': 'same-origin',
    'cross-origin-resource-policy': 'same-origin',
    'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=()',
  }
}
