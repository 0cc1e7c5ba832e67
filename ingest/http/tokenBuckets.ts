const FORGET_ABOVE = 50_000;

/**
 * How often each site may call: `burst` requests at once, `perSecond` over time. `take` answers 0 when the call may go
 * on, otherwise the seconds to wait. Kept in memory, one bucket a site.
 */
export function createTokenBuckets(rate: { readonly burst: number; readonly perSecond: number }) {
  const buckets = new Map<number, { tokens: number; atMs: number }>();
  return {
    take(siteId: number, nowMs: number): number {
      if (buckets.size > FORGET_ABOVE) buckets.clear();
      const bucket = buckets.get(siteId) ?? { tokens: rate.burst, atMs: nowMs };
      const gained = (Math.max(0, nowMs - bucket.atMs) / 1000) * rate.perSecond;
      const tokens = Math.min(rate.burst, bucket.tokens + gained);
      const allowed = tokens >= 1;
      buckets.set(siteId, { tokens: allowed ? tokens - 1 : tokens, atMs: nowMs });
      return allowed ? 0 : Math.ceil((1 - tokens) / rate.perSecond);
    },
  };
}
