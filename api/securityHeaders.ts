import { secureHeaders } from 'hono/secure-headers';

/** Pages run our own scripts and styles only, are framed by nobody, and tell other sites nothing. */
export function securityHeaders(origin: string) {
  return secureHeaders({
    contentSecurityPolicy: {
      defaultSrc: ["'self'"],
      scriptSrc: ["'self'"],
      styleSrc: ["'self'"],
      imgSrc: ["'self'", 'data:'],
      objectSrc: ["'none'"],
      baseUri: ["'none'"],
      formAction: ["'self'"],
      frameAncestors: ["'none'"],
    },
    xFrameOptions: 'DENY',
    xContentTypeOptions: 'nosniff',
    referrerPolicy: 'no-referrer',
    crossOriginOpenerPolicy: 'same-origin',
    crossOriginResourcePolicy: 'same-origin',
    strictTransportSecurity: origin.startsWith('https:') && 'max-age=31536000',
    xXssProtection: false,
  });
}
