-- Written by "npm run db:dump" from a freshly migrated database; the migrations are the source.

create table agent_report (
  site_id bigint not null,
  agent text not null,
  received_at timestamp with time zone not null,
  report jsonb not null,
  constraint agent_report_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint agent_report_pkey PRIMARY KEY (site_id, agent)
);

create table alert (
  alert_id bigint generated always as identity not null,
  kind text not null,
  site_id bigint,
  provider_id bigint,
  cause_key text not null,
  severity text not null,
  state text not null,
  title text not null,
  sentence text not null,
  side text,
  cause text,
  do_first text not null,
  onset_at timestamp with time zone not null,
  raised_at timestamp with time zone not null,
  returned_at timestamp with time zone,
  closed_at timestamp with time zone,
  limit_days_10 double precision,
  limit_days_50 double precision,
  limit_days_90 double precision,
  outlets integer not null,
  sites integer not null,
  priority double precision not null,
  shelved_until timestamp with time zone,
  acknowledged_by text,
  acknowledged_at timestamp with time zone,
  hop_to bigint,
  onset_low_at timestamp with time zone not null,
  onset_high_at timestamp with time zone not null,
  gone_at timestamp with time zone,
  calmer_since timestamp with time zone,
  part_of bigint,
  constraint alert_part_of_fkey FOREIGN KEY (part_of) REFERENCES alert(alert_id),
  constraint alert_pkey PRIMARY KEY (alert_id)
);
CREATE INDEX alert_of_provider ON public.alert USING btree (provider_id, raised_at);
CREATE INDEX alert_of_site ON public.alert USING btree (site_id, raised_at);
CREATE INDEX alert_open ON public.alert USING btree (priority DESC, alert_id) WHERE (closed_at IS NULL);
CREATE INDEX alert_parts ON public.alert USING btree (part_of) WHERE (part_of IS NOT NULL);

create table alert_change (
  change_id bigint generated always as identity not null,
  alert_id bigint not null,
  at timestamp with time zone not null,
  kind text not null,
  by_whom text not null,
  why text not null,
  before jsonb,
  after jsonb,
  constraint alert_change_alert_id_fkey FOREIGN KEY (alert_id) REFERENCES alert(alert_id),
  constraint alert_change_pkey PRIMARY KEY (change_id)
);
CREATE INDEX alert_change_of ON public.alert_change USING btree (alert_id, change_id);

create table alert_finding (
  alert_id bigint not null,
  site_id bigint not null,
  event integer not null,
  point_id bigint not null,
  constraint alert_finding_alert_id_fkey FOREIGN KEY (alert_id) REFERENCES alert(alert_id),
  constraint alert_finding_pkey PRIMARY KEY (alert_id, site_id, event, point_id)
);
CREATE INDEX alert_finding_of_site ON public.alert_finding USING btree (site_id);

create table alert_watch (
  site_id bigint not null,
  provider_id bigint,
  fingerprint text not null,
  due_at timestamp with time zone,
  shared jsonb default '[]'::jsonb not null,
  constraint alert_watch_pkey PRIMARY KEY (site_id)
);
CREATE INDEX alert_watch_due ON public.alert_watch USING btree (due_at) WHERE (due_at IS NOT NULL);
CREATE INDEX alert_watch_shared ON public.alert_watch USING btree (provider_id) WHERE (shared <> '[]'::jsonb);

create table arrival (
  site_id bigint not null,
  arrival_id bigint generated always as identity not null,
  point_id bigint not null,
  first_at timestamp with time zone not null,
  constraint arrival_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint arrival_pkey PRIMARY KEY (site_id, arrival_id)
);

create table audit (
  audit_id bigint generated always as identity not null,
  at timestamp with time zone not null,
  by_whom text not null,
  via text not null,
  action text not null,
  subject_kind text not null,
  subject_id text not null,
  site_id bigint,
  before jsonb,
  after jsonb,
  constraint audit_pkey PRIMARY KEY (audit_id)
);
CREATE INDEX audit_at_idx ON public.audit USING btree (at);
CREATE INDEX audit_site_id_idx ON public.audit USING btree (site_id, audit_id) WHERE (site_id IS NOT NULL);

create table automation_token (
  token_id bigint generated always as identity not null,
  secret_sha256 bytea not null,
  label text not null,
  role text not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  expires_at timestamp with time zone,
  last_used_at timestamp with time zone,
  revoked_at timestamp with time zone,
  constraint automation_token_pkey PRIMARY KEY (token_id),
  constraint automation_token_secret_unique UNIQUE (secret_sha256)
);

create table baseline (
  site_id bigint not null,
  point_id bigint not null,
  version integer not null,
  effective_from timestamp with time zone not null,
  from_at timestamp with time zone not null,
  to_at timestamp with time zone not null,
  sweeps integer not null,
  instruments text[] not null,
  freq_hz integer[] not null,
  level_cdbmv smallint[] not null,
  level_spread_cdb smallint[] not null,
  mer_cdb smallint[],
  mer_spread_cdb smallint[],
  cnr_cdb smallint[],
  level_dbmv double precision not null,
  tilt_db double precision not null,
  flatness_db double precision not null,
  worst_mer_margin_db double precision,
  ambient_c double precision,
  outside jsonb default '[]'::jsonb not null,
  exception_note text,
  accepted_by text not null,
  accepted_at timestamp with time zone not null,
  constraint baseline_exception_noted CHECK (((outside = '[]'::jsonb) OR (exception_note IS NOT NULL))),
  constraint baseline_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint baseline_pkey PRIMARY KEY (site_id, point_id, version)
);

create table channel_plan (
  plan_id bigint generated always as identity not null,
  name text not null,
  raster text not null,
  created_at timestamp with time zone default now() not null,
  constraint channel_plan_raster_known CHECK ((raster = ANY (ARRAY['STD'::text, 'HRC'::text, 'IRC'::text, '8 MHz'::text, 'own'::text]))),
  constraint channel_plan_pkey PRIMARY KEY (plan_id),
  constraint channel_plan_name_unique UNIQUE (name)
);

create table channel_plan_version (
  plan_id bigint not null,
  version integer not null,
  effective_from timestamp with time zone not null,
  note text default ''::text not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  constraint channel_plan_version_plan_id_fkey FOREIGN KEY (plan_id) REFERENCES channel_plan(plan_id),
  constraint channel_plan_version_pkey PRIMARY KEY (plan_id, version),
  constraint channel_plan_version_date_unique UNIQUE (plan_id, effective_from)
);

create table checkpoint (
  site_id bigint not null,
  at timestamp with time zone not null,
  state bytea not null,
  constraint checkpoint_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint checkpoint_pkey PRIMARY KEY (site_id, at)
);

create table complaint (
  site_id bigint not null,
  complaint_id bigint generated always as identity not null,
  seen_at timestamp with time zone not null,
  point_id bigint,
  outlet text default ''::text not null,
  symptom text not null,
  viewer_channel text default ''::text not null,
  rf_channel text,
  note text default ''::text not null,
  logged_by text not null,
  logged_at timestamp with time zone not null,
  withdrawn_by text,
  withdrawn_at timestamp with time zone,
  constraint complaint_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint complaint_pkey PRIMARY KEY (site_id, complaint_id)
);
CREATE INDEX complaint_seen ON public.complaint USING btree (seen_at DESC) WHERE (withdrawn_at IS NULL);

create table credential (
  id text not null,
  person_id text not null,
  provider_id text not null,
  account_id text not null,
  password text,
  access_token text,
  refresh_token text,
  id_token text,
  access_token_expires_at timestamp with time zone,
  refresh_token_expires_at timestamp with time zone,
  scope text,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone not null,
  constraint credential_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON DELETE CASCADE,
  constraint credential_pkey PRIMARY KEY (id)
);
CREATE INDEX credential_person_id_idx ON public.credential USING btree (person_id);

create table daily_median (
  site_id bigint not null,
  point_id bigint not null,
  day timestamp with time zone not null,
  sweeps integer not null,
  instruments text[] not null,
  freq_hz integer[] not null,
  level_cdbmv smallint[] not null,
  mer_cdb smallint[],
  cnr_cdb smallint[],
  lost_hz integer[] not null,
  ambient_cc smallint,
  constraint daily_median_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint daily_median_pkey PRIMARY KEY (site_id, point_id, day)
);

create table delivery (
  delivery_id bigint generated always as identity not null,
  target_id bigint not null,
  kind text not null,
  state text not null,
  held boolean not null,
  message_key uuid default gen_random_uuid() not null,
  once_key text,
  created_at timestamp with time zone not null,
  send_at timestamp with time zone not null,
  leased_until timestamp with time zone,
  attempts integer default 0 not null,
  tries_left integer not null,
  sent_to text not null,
  content jsonb,
  ended_at timestamp with time zone,
  why text default ''::text not null,
  constraint delivery_kind_known CHECK ((kind = ANY (ARRAY['alerts'::text, 'daily'::text, 'weekly'::text, 'test'::text]))),
  constraint delivery_state_known CHECK ((state = ANY (ARRAY['waiting'::text, 'sent'::text, 'dead'::text, 'dropped'::text]))),
  constraint delivery_pkey PRIMARY KEY (delivery_id),
  constraint delivery_once UNIQUE (once_key)
);
CREATE INDEX delivery_waiting ON public.delivery USING btree (send_at) WHERE (state = 'waiting'::text);

create table delivery_attempt (
  delivery_id bigint not null,
  attempt integer not null,
  started_at timestamp with time zone not null,
  ended_at timestamp with time zone,
  outcome text,
  detail text default ''::text not null,
  constraint delivery_attempt_outcome_known CHECK ((outcome = ANY (ARRAY['accepted'::text, 'try-again'::text, 'refused'::text]))),
  constraint delivery_attempt_delivery_id_fkey FOREIGN KEY (delivery_id) REFERENCES delivery(delivery_id) ON DELETE CASCADE,
  constraint delivery_attempt_pkey PRIMARY KEY (delivery_id, attempt)
);

create table delivery_item (
  rule_id bigint not null,
  change_id bigint not null,
  target_id bigint not null,
  step integer not null,
  delivery_id bigint not null,
  alert_id bigint not null,
  opening_id bigint not null,
  what text not null,
  due_at timestamp with time zone not null,
  constraint delivery_item_what_known CHECK ((what = ANY (ARRAY['open'::text, 'worse'::text, 'returned'::text]))),
  constraint delivery_item_delivery_id_fkey FOREIGN KEY (delivery_id) REFERENCES delivery(delivery_id) ON DELETE CASCADE,
  constraint delivery_item_pkey PRIMARY KEY (rule_id, change_id, target_id, step)
);
CREATE INDEX delivery_item_alert ON public.delivery_item USING btree (alert_id);
CREATE INDEX delivery_item_of ON public.delivery_item USING btree (delivery_id);

create table finding (
  site_id bigint not null,
  event integer not null,
  point_id bigint not null,
  kind text not null,
  metric text not null,
  shape text,
  detected_at timestamp with time zone not null,
  onset_at timestamp with time zone not null,
  onset_low_at timestamp with time zone not null,
  onset_high_at timestamp with time zone not null,
  size_db double precision not null,
  size_low_db double precision not null,
  size_high_db double precision not null,
  slope_db_per_day double precision,
  slope_low_db_per_day double precision,
  slope_high_db_per_day double precision,
  limit_days_10 double precision,
  limit_days_50 double precision,
  limit_days_90 double precision,
  limit_name text,
  closed_at timestamp with time zone,
  side text not null,
  hop_from bigint,
  hop_to bigint not null,
  also_possible bigint[] default '{}'::bigint[] not null,
  explained_by bigint,
  evidence jsonb default '{}'::jsonb not null,
  told_at timestamp with time zone not null,
  constraint finding_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint finding_pkey PRIMARY KEY (site_id, event, point_id)
);
CREATE INDEX finding_open ON public.finding USING btree (site_id) WHERE (closed_at IS NULL);

create table fleet_limit_choice (
  choice_id bigint generated always as identity not null,
  kind text not null,
  set_id text not null,
  changes jsonb default '[]'::jsonb not null,
  reason text not null,
  chosen_by text not null,
  chosen_at timestamp with time zone default now() not null,
  constraint fleet_limit_choice_pkey PRIMARY KEY (choice_id)
);

create table grid (
  site_id bigint not null,
  grid_id bigint generated always as identity not null,
  freq_hz integer[] not null,
  constraint grid_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint grid_pkey PRIMARY KEY (site_id, grid_id),
  constraint grid_freq_unique UNIQUE (site_id, freq_hz)
);

create table hourly (
  site_id bigint not null,
  point_id bigint not null,
  hour timestamp with time zone not null,
  sweeps smallint not null,
  level_dbmv real,
  level_dev_db real,
  tilt_db real,
  tilt_dev_db real,
  flatness_db real,
  mer_margin_db real,
  ambient_c real,
  constraint hourly_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint hourly_pkey PRIMARY KEY (site_id, point_id, hour)
);

create table instrument (
  site_id bigint not null,
  name text not null,
  serial text default ''::text not null,
  note text default ''::text not null,
  calibrated_at timestamp with time zone,
  calibration_due_at timestamp with time zone,
  uncertainty_db real,
  created_at timestamp with time zone default now() not null,
  constraint instrument_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint instrument_pkey PRIMARY KEY (site_id, name)
);

create table instrument_calibration (
  site_id bigint not null,
  calibration_id bigint generated always as identity not null,
  name text not null,
  calibrated_at timestamp with time zone not null,
  due_at timestamp with time zone,
  uncertainty_db real,
  certificate text default ''::text not null,
  entered_by text not null,
  entered_at timestamp with time zone default now() not null,
  constraint instrument_calibration_due_later CHECK (((due_at IS NULL) OR (due_at > calibrated_at))),
  constraint instrument_calibration_site_id_name_fkey FOREIGN KEY (site_id, name) REFERENCES instrument(site_id, name) ON DELETE CASCADE,
  constraint instrument_calibration_pkey PRIMARY KEY (site_id, calibration_id),
  constraint instrument_calibration_once UNIQUE (site_id, name, calibrated_at)
);

create table maintenance_window (
  window_id bigint generated always as identity not null,
  scope text not null,
  scope_id bigint,
  from_at timestamp with time zone not null,
  to_at timestamp with time zone not null,
  reason text not null,
  effect text not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  cancelled_by text,
  cancelled_at timestamp with time zone,
  constraint maintenance_window_forward CHECK ((to_at > from_at)),
  constraint maintenance_window_scope_known CHECK ((scope = ANY (ARRAY['fleet'::text, 'provider'::text, 'site'::text]))),
  constraint maintenance_window_scope_named CHECK (((scope = 'fleet'::text) = (scope_id IS NULL))),
  constraint maintenance_window_pkey PRIMARY KEY (window_id)
);
CREATE INDEX maintenance_window_by_scope ON public.maintenance_window USING btree (scope, scope_id, to_at);

create table notify_near (
  rule_id bigint not null,
  alert_id bigint not null,
  from_at timestamp with time zone not null,
  constraint notify_near_alert_id_fkey FOREIGN KEY (alert_id) REFERENCES alert(alert_id),
  constraint notify_near_rule_id_fkey FOREIGN KEY (rule_id) REFERENCES notify_rule(rule_id) ON DELETE CASCADE,
  constraint notify_near_pkey PRIMARY KEY (rule_id, alert_id)
);

create table notify_rule (
  rule_id bigint generated always as identity not null,
  name text not null,
  about jsonb not null,
  delay_min integer not null,
  steps jsonb not null,
  tells_worse boolean not null,
  tells_return boolean not null,
  through_quiet boolean not null,
  enabled boolean not null,
  since timestamp with time zone not null,
  changed_by text not null,
  changed_at timestamp with time zone not null,
  constraint notify_rule_pkey PRIMARY KEY (rule_id)
);

create table notify_target (
  target_id bigint generated always as identity not null,
  kind text not null,
  name text not null,
  person_id text,
  address text,
  url text,
  sealed bytea,
  time_zone text not null,
  quiet_from_min integer,
  quiet_to_min integer,
  work_days integer[] not null,
  daily boolean not null,
  weekly boolean not null,
  digest_min integer not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  constraint notify_target_kind_known CHECK ((kind = ANY (ARRAY['person'::text, 'mailbox'::text, 'webhook'::text]))),
  constraint notify_target_quiet_whole CHECK (((quiet_from_min IS NULL) = (quiet_to_min IS NULL))),
  constraint notify_target_reachable CHECK ((((kind = 'person'::text) = (person_id IS NOT NULL)) AND ((kind = 'mailbox'::text) = (address IS NOT NULL)) AND ((kind = 'webhook'::text) = ((url IS NOT NULL) AND (sealed IS NOT NULL))))),
  constraint notify_target_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON DELETE CASCADE,
  constraint notify_target_pkey PRIMARY KEY (target_id),
  constraint notify_target_person_unique UNIQUE (person_id)
);

create table one_time_link (
  link_id bigint generated always as identity not null,
  secret_sha256 bytea not null,
  purpose text not null,
  role text not null,
  email text,
  person_id text,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  expires_at timestamp with time zone not null,
  used_at timestamp with time zone,
  constraint one_time_link_password_of_someone CHECK (((purpose = 'password'::text) = (person_id IS NOT NULL))),
  constraint one_time_link_purpose_known CHECK ((purpose = ANY (ARRAY['setup'::text, 'invitation'::text, 'password'::text]))),
  constraint one_time_link_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON DELETE CASCADE,
  constraint one_time_link_pkey PRIMARY KEY (link_id),
  constraint one_time_link_secret_unique UNIQUE (secret_sha256)
);

create table person (
  id text not null,
  name text not null,
  email text not null,
  email_verified boolean not null,
  image text,
  role text not null,
  disabled boolean not null,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone default now() not null,
  constraint person_role_known CHECK ((role = ANY (ARRAY['viewer'::text, 'technician'::text, 'manager'::text, 'administrator'::text]))),
  constraint person_pkey PRIMARY KEY (id),
  constraint person_email_unique UNIQUE (email)
);

create table person_session (
  id text not null,
  person_id text not null,
  token text not null,
  ip_address text,
  user_agent text,
  expires_at timestamp with time zone not null,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone not null,
  constraint person_session_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON DELETE CASCADE,
  constraint person_session_pkey PRIMARY KEY (id),
  constraint person_session_token_key UNIQUE (token)
);
CREATE INDEX person_session_person_id_idx ON public.person_session USING btree (person_id);

create table planned_channel (
  plan_id bigint not null,
  version integer not null,
  channel text not null,
  centre_mhz double precision not null,
  width_mhz double precision not null,
  modulation text not null,
  services jsonb default '[]'::jsonb not null,
  constraint planned_channel_modulation_known CHECK ((modulation = ANY (ARRAY['analogue'::text, 'qam64'::text, 'qam256'::text, '8vsb'::text, 'ofdm'::text]))),
  constraint planned_channel_plan_id_version_fkey FOREIGN KEY (plan_id, version) REFERENCES channel_plan_version(plan_id, version),
  constraint planned_channel_pkey PRIMARY KEY (plan_id, version, channel)
);

create table point (
  site_id bigint not null,
  point_id bigint generated always as identity not null,
  name text not null,
  label text default ''::text not null,
  kind text not null,
  fed_by bigint,
  outlets integer default 0 not null,
  interval_s integer default 900 not null,
  corrects_itself boolean default false not null,
  correction_window_db double precision,
  hop_note text default ''::text not null,
  created_at timestamp with time zone default now() not null,
  constraint point_interval_positive CHECK ((interval_s > 0)),
  constraint point_kind_known CHECK ((kind = ANY (ARRAY['handoff'::text, 'gear-input'::text, 'gear-output'::text, 'amplifier'::text, 'splitter'::text, 'outlet'::text]))),
  constraint point_outlets_not_negative CHECK ((outlets >= 0)),
  constraint point_site_id_fed_by_fkey FOREIGN KEY (site_id, fed_by) REFERENCES point(site_id, point_id),
  constraint point_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint point_pkey PRIMARY KEY (site_id, point_id),
  constraint point_name_unique UNIQUE (site_id, name)
);

create table point_state (
  site_id bigint not null,
  point_id bigint not null,
  last_at timestamp with time zone,
  latest jsonb,
  state json,
  constraint point_state_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint point_state_pkey PRIMARY KEY (site_id, point_id)
);

create table probe (
  site_id bigint not null,
  probe_id bigint generated always as identity not null,
  point_id bigint not null,
  name text not null,
  kind text not null,
  settings jsonb not null,
  sealed bytea,
  instrument_key text not null,
  schedule jsonb not null,
  interval_s integer not null,
  place double precision not null,
  timeout_s integer not null,
  floor_s integer not null,
  enabled boolean default true not null,
  due_at timestamp with time zone,
  wake_at timestamp with time zone,
  claim uuid,
  claimed_by text,
  started_at timestamp with time zone,
  tries integer default 0 not null,
  asked_at timestamp with time zone,
  asked_by text,
  failures integer default 0 not null,
  last_run_at timestamp with time zone,
  last_success_at timestamp with time zone,
  last_error_code text,
  last_error_text text,
  last_error_action text,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  constraint probe_floor_not_negative CHECK ((floor_s >= 0)),
  constraint probe_interval_positive CHECK ((interval_s > 0)),
  constraint probe_kind_known CHECK ((kind = ANY (ARRAY['modem'::text, 'http'::text]))),
  constraint probe_place_within_one CHECK (((place >= (0)::double precision) AND (place < (1)::double precision))),
  constraint probe_timeout_positive CHECK ((timeout_s > 0)),
  constraint probe_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint probe_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint probe_pkey PRIMARY KEY (site_id, probe_id),
  constraint probe_name_unique UNIQUE (site_id, name)
);
CREATE INDEX probe_of_point ON public.probe USING btree (site_id, point_id);
CREATE INDEX probe_wake ON public.probe USING btree (wake_at);

create table probe_day (
  site_id bigint not null,
  probe_id bigint not null,
  day date not null,
  runs integer not null,
  failed integer not null,
  constraint probe_day_pkey PRIMARY KEY (site_id, probe_id, day)
);

create table probe_instrument (
  instrument_key text not null,
  free_at timestamp with time zone default '-infinity'::timestamp with time zone not null,
  constraint probe_instrument_pkey PRIMARY KEY (instrument_key)
);

create table probe_run (
  site_id bigint not null,
  probe_id bigint not null,
  run_id bigint generated always as identity not null,
  due_at timestamp with time zone,
  started_at timestamp with time zone not null,
  ended_at timestamp with time zone not null,
  outcome text not null,
  tries integer not null,
  asked_by text,
  error_code text,
  error_text text,
  error_action text,
  sweeps integer not null,
  told text,
  constraint probe_run_outcome_known CHECK ((outcome = ANY (ARRAY['read'::text, 'failed'::text, 'held'::text]))),
  constraint probe_run_pkey PRIMARY KEY (site_id, probe_id, run_id)
);
CREATE INDEX probe_run_ended ON public.probe_run USING brin (ended_at);

create table provider (
  provider_id bigint generated always as identity not null,
  name text not null,
  contact text default ''::text not null,
  created_at timestamp with time zone default now() not null,
  constraint provider_pkey PRIMARY KEY (provider_id),
  constraint provider_name_unique UNIQUE (name)
);

create table reading_way (
  site_id bigint not null,
  point_id bigint not null,
  way jsonb not null,
  chosen_by text not null,
  chosen_at timestamp with time zone not null,
  constraint reading_way_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint reading_way_pkey PRIMARY KEY (site_id, point_id)
);

create table rejected_sweep (
  site_id bigint not null,
  rejection_id bigint generated always as identity not null,
  received_at timestamp with time zone not null,
  point text,
  at text,
  path text not null,
  reason text not null,
  constraint rejected_sweep_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint rejected_sweep_pkey PRIMARY KEY (site_id, rejection_id)
);

create table site (
  site_id bigint generated always as identity not null,
  name text not null,
  town text default ''::text not null,
  address text default ''::text not null,
  time_zone text not null,
  latitude double precision,
  longitude double precision,
  outlets integer not null,
  provider_id bigint,
  plan_id bigint,
  contact text default ''::text not null,
  access_notes text default ''::text not null,
  created_at timestamp with time zone default now() not null,
  constraint site_outlets_not_negative CHECK ((outlets >= 0)),
  constraint site_plan_id_fkey FOREIGN KEY (plan_id) REFERENCES channel_plan(plan_id),
  constraint site_provider_id_fkey FOREIGN KEY (provider_id) REFERENCES provider(provider_id),
  constraint site_pkey PRIMARY KEY (site_id)
);

create table site_key (
  site_id bigint not null,
  key_id bigint generated always as identity not null,
  secret_sha256 bytea not null,
  label text not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  last_used_at timestamp with time zone,
  revoked_at timestamp with time zone,
  constraint site_key_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_key_pkey PRIMARY KEY (site_id, key_id)
);

create table site_limit_choice (
  site_id bigint not null,
  choice_id bigint generated always as identity not null,
  kind text,
  point_id bigint,
  set_id text not null,
  changes jsonb default '[]'::jsonb not null,
  reason text not null,
  chosen_by text not null,
  chosen_at timestamp with time zone default now() not null,
  constraint site_limit_choice_one_scope CHECK (((kind IS NULL) <> (point_id IS NULL))),
  constraint site_limit_choice_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_limit_choice_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint site_limit_choice_pkey PRIMARY KEY (site_id, choice_id)
);

create table site_risk (
  site_id bigint not null,
  outlet_days double precision not null,
  sentence text not null,
  verdict text not null,
  side text,
  since timestamp with time zone,
  days_to_limit double precision,
  last_sweep_at timestamp with time zone,
  strip smallint[] not null,
  parts jsonb default '{}'::jsonb not null,
  computed_at timestamp with time zone not null,
  constraint site_risk_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_risk_pkey PRIMARY KEY (site_id)
);
CREATE INDEX site_risk_rank ON public.site_risk USING btree (outlet_days DESC, site_id);

create table site_state (
  site_id bigint not null,
  last_at timestamp with time zone,
  state json,
  constraint site_state_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_state_pkey PRIMARY KEY (site_id)
);

create table sweep (
  site_id bigint not null,
  point_id bigint not null,
  at timestamp with time zone not null,
  instrument text not null,
  received_at timestamp with time zone not null,
  grid_id bigint not null,
  level_cdbmv smallint[] not null,
  mer_cdb smallint[],
  cnr_cdb smallint[],
  ber_pre real[],
  ber_post real[],
  lost_hz integer[],
  ambient_cc smallint,
  constraint sweep_site_id_grid_id_fkey FOREIGN KEY (site_id, grid_id) REFERENCES grid(site_id, grid_id),
  constraint sweep_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint sweep_pkey PRIMARY KEY (site_id, point_id, at, instrument)
) partition by RANGE (at);

create table typed_draft (
  site_id bigint not null,
  point_id bigint not null,
  person text not null,
  name text not null,
  draft jsonb not null,
  started_at timestamp with time zone not null,
  updated_at timestamp with time zone not null,
  saved_at timestamp with time zone,
  constraint typed_draft_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint typed_draft_pkey PRIMARY KEY (site_id, point_id, person)
);

create table verification (
  id text not null,
  identifier text not null,
  value text not null,
  expires_at timestamp with time zone not null,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone default now() not null,
  constraint verification_pkey PRIMARY KEY (id)
);
CREATE INDEX verification_identifier_idx ON public.verification USING btree (identifier);

create table visit (
  site_id bigint not null,
  visit_id bigint generated always as identity not null,
  day_id bigint not null,
  place integer not null,
  drive_minutes double precision not null,
  arrive_at timestamp with time zone not null,
  leave_at timestamp with time zone not null,
  saved_outlet_days double precision not null,
  constraint visit_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint visit_pkey PRIMARY KEY (site_id, visit_id)
);
CREATE INDEX visit_of_day ON public.visit USING btree (day_id, place);

create table visit_alert (
  site_id bigint not null,
  visit_id bigint not null,
  alert_id bigint not null,
  constraint visit_alert_site_id_visit_id_fkey FOREIGN KEY (site_id, visit_id) REFERENCES visit(site_id, visit_id),
  constraint visit_alert_pkey PRIMARY KEY (site_id, visit_id, alert_id)
);

create table visit_day (
  day_id bigint generated always as identity not null,
  technician text not null,
  start_name text not null,
  start_latitude double precision,
  start_longitude double precision,
  time_zone text not null,
  from_at timestamp with time zone not null,
  to_at timestamp with time zone not null,
  back_minutes double precision not null,
  created_by text not null,
  created_at timestamp with time zone not null,
  cancelled_by text,
  cancelled_at timestamp with time zone,
  constraint visit_day_pkey PRIMARY KEY (day_id)
);

create table visit_result (
  site_id bigint not null,
  result_id uuid not null,
  visit_id bigint,
  alert_id bigint,
  point_id bigint not null,
  outcome text not null,
  found text default ''::text not null,
  done text default ''::text not null,
  parts text default ''::text not null,
  read_channel text default ''::text not null,
  level_before_dbmv double precision,
  level_after_dbmv double precision,
  mer_before_db double precision,
  mer_after_db double precision,
  began_at timestamp with time zone not null,
  done_at timestamp with time zone not null,
  recorded_by text not null,
  received_at timestamp with time zone not null,
  constraint visit_result_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint visit_result_pkey PRIMARY KEY (site_id, result_id)
);
CREATE INDEX visit_result_newest ON public.visit_result USING btree (done_at DESC);
