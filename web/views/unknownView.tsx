import { Link } from '../parts/link.tsx';
import { useTitle } from '../useTitle.ts';

export function UnknownView() {
  useTitle('No such page');
  return (
    <main class="page" id="main">
      <h1 tabIndex={-1}>There is no such page.</h1>
      <p>
        Check the address, or go to <Link href="/">the fleet</Link>.
      </p>
    </main>
  );
}
