/** What `--help` prints. */
export const USAGE = `Reads a standard cable modem over SNMP and sends a sweep of its channels.

  npm run probe -- --host 192.0.2.10 --point handoff --url http://127.0.0.1:8620 --every 15m

What to read
  --host NAME          address of the modem
  --snmp-port N        UDP port of its agent (161)
  --community TEXT     SNMP v2c: the read community
  --user NAME          SNMP v3: the user, with
  --auth PROTOCOL        md5, sha, sha224, sha256, sha384 or sha512, and --auth-password TEXT
  --priv PROTOCOL        aes, aes256b or aes256r, and --priv-password TEXT
  --instrument NAME    what to call the modem (its serial number, else its system name, else its address)

Where to send it
  --point NAME         test point of the site that the modem hangs on, such as handoff
  --url ADDRESS        address of the server
  --key TEXT           the site key

When
  --once               one sweep, then end (the default)
  --every INTERVAL     a sweep at once, then every 30s, 15m, 1h...; sweeps that can't be sent wait in memory
  --print              read once, print the sweep as JSON on standard output, send nothing

Secrets
  A secret on the command line can be read by every user of this machine. Better: environment variables
  LEVELKEEP_KEY, LEVELKEEP_COMMUNITY, LEVELKEEP_AUTH_PASSWORD, LEVELKEEP_PRIV_PASSWORD, or
  --secrets FILE       a file of such NAME=value lines that only you can read
  The command line wins over the file, the file over the environment.

Exit codes
  0 sent, or printed; with --every also: stopped by a signal
  1 an error that nobody foresaw   2 wrong options   3 no reading from the modem
  4 server away or busy, try again later   5 server refused the key or the sweep
  130 interrupted before it was done

The probe only reads; it never sets anything on the modem.`;
