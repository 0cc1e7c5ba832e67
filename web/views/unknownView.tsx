import { Link } from '../parts/link.tsx';

export function UnknownView() {
  return (
    <main class="page" id="main">
      <h1 tabIndex={-1}>There is no such page.</h1>
      <p>
        Check the address, or go to <Link href="/">the fleet</Link>.
      </p>
    </main>
  );
}
