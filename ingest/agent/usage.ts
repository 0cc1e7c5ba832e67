/** What `--help` prints. */
export const USAGE = `Reads the instruments of a site on a schedule and sends their sweeps; keeps what can't be sent.

  npm run agent -- --config agent.json

  --config FILE        the config; relative paths in it start at its folder
  --check              read and check the config, say what runs when, and end
  --read-now POINT     take one reading of a point now; a running agent does it, otherwise this command
  --preview FILE       show what the config makes of a meter's file; without --config its columns and first rows
    --point POINT        whose mapping, where several points have folders
    --skip-lines N       lines above the header row, while there is no config
  --resend-refused     put back into the queue what the server rejected, once the cause is mended

The config
  { "zone": "America/Chicago",
    "server": { "url": "https://levelkeep.example.com", "keyFile": "site.key" },
    "probes": [
      { "point": "handoff", "every": "15m", "driver": "modem", "host": "192.0.2.10" },
      { "point": "riser", "cron": "*/15 * * * *", "driver": "command", "program": "/opt/read-meter" },
      { "point": "attic", "every": "1m", "driver": "folder", "folder": "attic", "instrument": "meter-3",
        "format": "csv", "mapping": {
          "columns": { "frequency": "Freq", "level": "Level", "mer": 4 },
          "levelUnit": "dBuV", "time": { "from": "name", "pattern": "YYYYMMDD_hhmm" } } },
      { "point": "roof", "every": "5m", "driver": "http", "url": "http://192.0.2.20/sweep.json", "format": "contract" } ] }

  every probe   point, every (30s to 24h) or cron, spread (0.25), timeout (90s), floor (10s), instrument
  modem         host, port, user, auth, priv; secrets by communityVariable, authPasswordVariable, privPasswordVariable;
                spectrum: levels from the modem's spectrum table, {"raster": "STD", "fromMhz": 54, "toMhz": 860} (also
                HRC, IRC, 8 MHz) or {"channels": [{"centreMhz": 603, "widthMhz": 6}]}
  command       program, arguments, folder; prints one sweep of the contract or {"sweeps": [...]}; without "at" it is now
  folder        folder, endings, quiet (10s), format csv, json or contract; csv: separator, header, skipLines;
                rows: way to the list in JSON; mapping: columns frequency, level, mer, cnr, berPre, berPost, ambient,
                frequencyUnit, levelUnit (dBmV, dBuV, dBm at 75 ohm), decimal, missing, lost, time
  http          url, headers, headerVariables (header to variable, for secrets), format contract or records; rows and mapping as for
                a folder, except time: {"from": "reading"} or {"from": "column", ...}; redirects stay on the host
  time          {"from": "column", "column": ..., "pattern": ...}, {"from": "name", "pattern": ...} or {"from": "file"};
                patterns of YYYY YY MM MMM DD hh mm ss AP, or "iso"
  also          agent, secrets, atOnce (4), spool: folder ("spool"), limit ("200MB"),
                server.keyVariable, server.retry: first (2s), most (5m), refused (10m)

Secrets
  No secret stands in the config or on the command line. The site key is in server.keyFile or in LEVELKEEP_KEY, the others
  in LEVELKEEP_COMMUNITY, LEVELKEEP_AUTH_PASSWORD, LEVELKEEP_PRIV_PASSWORD, or under names of yours; all of them in
  the environment or in the file named by "secrets", NAME=value lines that only you can read.

Exit codes
  0 done, or stopped by a signal
  1 an error that nobody foresaw   2 wrong options or config   3 no reading from the instrument
  4 server away or busy; the sweep waits in the spool   5 server refused the key or the sweep
  130 interrupted before it was done`;
