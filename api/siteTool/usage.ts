/** What `--help` prints. */
export const USAGE = `Sets sites up on a running server, for scripts.

  npm run site -- create FILE                  make a site from a JSON file; run again, it adds the points that lack
  npm run site -- missing SITE                 what its set-up still lacks, step by step; exit code 1 while it lacks something
  npm run site -- key SITE --label WORDS       issue a site key, and print it this once
  npm run site -- agent-config SITE            print agent.json for the box on site
  npm run site -- find-plan SITE POINT         the channel plan that the newest sweeps of a point speak for
  npm run site -- propose SITE POINT           the baseline that a window of sweeps would make; keeps nothing
  npm run site -- accept SITE POINT            accept it, signed with the token's name
  npm run site -- import --sites FILE          what a CSV file of sites would do; keeps nothing
  npm run site -- template sites               print a template of the sites file, or of points

  SITE is a name or a number, POINT the name that sweeps use, or a number.

  --url URL            the server; LEVELKEEP_URL, else http://127.0.0.1:8620
  --from, --to TIME    window of propose and accept, ISO 8601; the last 7 days without them
  --effective TIME     from when an accepted baseline judges; the start of the window without it
  --note WORDS         why it is accepted although something lies outside its limits
  --points FILE        import: the points file
  --update             import: sites that are known are updated instead of left as they are
  --apply              import: do it
  --json               print the server's whole answer

  LEVELKEEP_TOKEN holds an automation token: viewer to look, technician to accept, manager for the rest.

The file of create
  { "name": "Mill House", "timeZone": "America/Chicago", "outlets": 120, "provider": "Bayline", "plan": "Bayline basic",
    "points": [
      { "name": "handoff", "kind": "handoff", "intervalS": 900,
        "readings": { "way": "agent-modem", "host": "192.0.2.10" } },
      { "name": "riser-amp", "kind": "amplifier", "fedBy": "handoff", "readings": { "way": "typed" } } ] }

Exit codes
  0 done   1 done, and something is missing or wrong in what was looked at   2 wrong options or file
  3 the server refused it   4 no answer from the server`;
