import { useEffect, useState } from 'preact/hooks';

/** `value` once it has stood still for `pauseMs`: for searches as one types. */
export function useSettled<T>(value: T, pauseMs = 200): T {
  const [settled, setSettled] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(value), pauseMs);
    return () => clearTimeout(timer);
  }, [value, pauseMs]);
  return settled;
}
