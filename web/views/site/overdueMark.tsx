import { formatDay } from '../../format.ts';

/** That an instrument was out of calibration when it read. */
export function OverdueMark({ name, since, timeZone }: { name: string; since: string; timeZone: string }) {
  return (
    <span class="abnormal">
      <span aria-hidden="true">◆ </span>
      {name} is out of calibration since {formatDay(since, timeZone)}
    </span>
  );
}
