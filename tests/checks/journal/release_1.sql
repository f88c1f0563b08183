BEGIN TRANSACTION;
CREATE TABLE answer (
	id INTEGER NOT NULL, 
	plant_id INTEGER NOT NULL, 
	question VARCHAR(64) NOT NULL, 
	"of" VARCHAR(80) NOT NULL, 
	follows INTEGER NOT NULL, 
	value VARCHAR(16) NOT NULL, 
	evidence TEXT NOT NULL, 
	note TEXT NOT NULL, 
	"by" VARCHAR(200) NOT NULL, 
	"on" VARCHAR(32) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	writer VARCHAR(64) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT one_answer_follows_another UNIQUE (plant_id, question, "of", follows), 
	FOREIGN KEY(plant_id) REFERENCES plant (id)
);
INSERT INTO "answer" VALUES(1,1,'SEP1','group:pt-301',0,'met','Hook-up H-301 rev 4','','IT-3','2025-03-04','2026-11-25T02:53:29.582+00:00','w1');
INSERT INTO "answer" VALUES(2,1,'PRO1','plant',0,'partly','','Zwei Sprachen: 漢字 ''x'' "y"','FS-1','','2026-11-25T02:53:29.583+00:00','w2');
INSERT INTO "answer" VALUES(3,1,'SEP1','group:pt-301',1,'not-met','Walkdown','','IT-3','2025-03-05','2026-11-25T02:53:29.587+00:00','w1');
INSERT INTO "answer" VALUES(4,2,'SEP1','group:pt-301',0,'unknown','','','','','2026-11-25T02:53:29.592+00:00','w3');
CREATE TABLE plant (
	id INTEGER NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "plant" VALUES(1,'Quillmarch Works');
INSERT INTO "plant" VALUES(2,'Other Works');
CREATE TABLE plant_data (
	id INTEGER NOT NULL, 
	plant_id INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	"by" VARCHAR(200) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(plant_id) REFERENCES plant (id)
);
INSERT INTO "plant_data" VALUES(1,1,'format: 1
plant:
  name: Quillmarch Works
  note: invented data - not for use
conventions:
  beta_method: iec61508-6-2010
  voting_factor: iec61508-6-2010
  redundancy_method: annex-b
  exposure_rule: graded
devices:
  PT:
    name: Pressure transmitter
    lambda_du_fit: 450.0
    lambda_dd_fit: 850.0
    lambda_s_fit: 550.0
    source: invented
  TT:
    name: Temperature transmitter
    lambda_du_fit: 300.0
    lambda_dd_fit: 700.0
  LS:
    name: Logic solver
    lambda_du_fit: 40.0
    lambda_dd_fit: 960.0
  SOV:
    name: Solenoid valve
    lambda_du_fit: 300.0
  ESV:
    name: Shut-off valve
    lambda_du_fit: 900.0
    lambda_dd_fit: 100.0
  POS:
    name: Position switch
    lambda_du_fit: 120.0
    lambda_dd_fit: 30.0
  CON:
    name: Contactor
    lambda_du_fit: 80.0
    lambda_dd_fit: 20.0
zones:
  bpcs:
    name: Control system
  sis:
    name: Safety controllers
    safety_related: true
    sl_target:
      IAC: 3
      UC: 3
      SI: 3
      DC: 1
      RDF: 3
      TRE: 2
      RA: 2
  field:
    name: Field devices
    safety_related: true
    sl_target:
      IAC: 1
      UC: 1
      SI: 2
      RDF: 2
      RA: 1
    note: by hand
conduits:
  C4:
    between:
    - bpcs
    - sis
    flow: read
    note: read-only gateway
  C9:
    between:
    - bpcs
    - outside
    flow: remote service
groups:
  pt-301:
    name: Reactor pressure transmitters
    part: sensor
    voting: 2oo3
    channels:
    - - PT
    - - PT
    - - PT
    tags:
    - PT-301A
    - PT-301B
    - PT-301C
    zone: field
    proof_test:
      interval_h: 8760.0
      full_interval_h: 87600.0
    mttr_h: 24.0
    mrt_h: 24.0
    diagnostic_interval_h: 1.0
    acts_on_detected: true
  tt-401:
    part: sensor
    voting: 1oo1
    channels:
    - - TT
    zone: field
    proof_test:
      interval_h: 8760.0
    mttr_h: 24.0
    mrt_h: 24.0
  ls-sis:
    part: logic
    voting: 1oo2
    channels:
    - - LS
    - - LS
    zone: sis
    proof_test:
      interval_h: 17520.0
    mttr_h: 8.0
    mrt_h: 8.0
    diagnostic_interval_h: 0.01
    acts_on_detected: true
  esv-301:
    part: final
    voting: 1oo2
    channels:
    - - SOV
      - ESV
    - - SOV
      - ESV
    zone: sis
    proof_test:
      interval_h: 4380.0
      coverage: 0.9
      full_interval_h: 43800.0
    mttr_h: 24.0
    mrt_h: 72.0
  pos-210:
    part: sensor
    voting: 2oo2
    channels:
    - - POS
    - - POS
    proof_test:
      interval_h: 8760.0
    mttr_h: 8.0
    mrt_h: 8.0
  con-210:
    part: final
    voting: 1oo3
    channels:
    - - CON
    - - CON
    - - CON
    programmable: false
    proof_test:
      interval_h: 8760.0
    mttr_h: 8.0
    mrt_h: 8.0
    stated_beta:
      beta: 0.05
      beta_d: 0.025
      source: 2016 report
    note: no software inside
systems:
  S30:
    name: Hydrogenation shutdown system
    functions:
    - SIF-301
  S40:
    name: Dryer shutdown system
    functions:
    - SIF-401
    - SIF-210
functions:
  SIF-301:
    name: Reactor high pressure closes feed
    demand: low
    target_rrf: 500.0
    groups:
    - pt-301
    - ls-sis
    - esv-301
  SIF-401:
    name: Dryer high temperature
    demand: low
    target_rrf: 50.0
    groups:
    - tt-401
    - ls-sis
  SIF-210:
    name: Lid interlock
    demand: high
    target_pfh: 1.0e-06
    groups:
    - pos-210
    - con-210
','FS-1','2026-11-25T02:53:29.576+00:00');
INSERT INTO "plant_data" VALUES(2,1,'format: 1
plant:
  name: Quillmarch Works
  note: invented data - not for use
conventions:
  voting_factor: none
devices:
  PT:
    name: Pressure transmitter
    lambda_du_fit: 450.0
    lambda_dd_fit: 850.0
    lambda_s_fit: 550.0
    source: invented
  TT:
    name: Temperature transmitter
    lambda_du_fit: 300.0
    lambda_dd_fit: 700.0
  LS:
    name: Logic solver
    lambda_du_fit: 40.0
    lambda_dd_fit: 960.0
  SOV:
    name: Solenoid valve
    lambda_du_fit: 300.0
  ESV:
    name: Shut-off valve
    lambda_du_fit: 900.0
    lambda_dd_fit: 100.0
  POS:
    name: Position switch
    lambda_du_fit: 120.0
    lambda_dd_fit: 30.0
  CON:
    name: Contactor
    lambda_du_fit: 80.0
    lambda_dd_fit: 20.0
zones:
  bpcs:
    name: Control system
  sis:
    name: Safety controllers
    safety_related: true
    sl_target:
      IAC: 3
      UC: 3
      SI: 3
      DC: 1
      RDF: 3
      TRE: 2
      RA: 2
  field:
    name: Field devices
    safety_related: true
    sl_target:
      IAC: 1
      UC: 1
      SI: 2
      RDF: 2
      RA: 1
    note: by hand
conduits:
  C4:
    between:
    - bpcs
    - sis
    flow: read
    note: read-only gateway
  C9:
    between:
    - bpcs
    - outside
    flow: remote service
groups:
  pt-301:
    name: Reactor pressure transmitters
    part: sensor
    voting: 2oo3
    channels:
    - - PT
    - - PT
    - - PT
    tags:
    - PT-301A
    - PT-301B
    - PT-301C
    zone: field
    proof_test:
      interval_h: 8760.0
      full_interval_h: 87600.0
    mttr_h: 24.0
    mrt_h: 24.0
    diagnostic_interval_h: 1.0
    acts_on_detected: true
  tt-401:
    part: sensor
    voting: 1oo1
    channels:
    - - TT
    zone: field
    proof_test:
      interval_h: 8760.0
    mttr_h: 24.0
    mrt_h: 24.0
  ls-sis:
    part: logic
    voting: 1oo2
    channels:
    - - LS
    - - LS
    zone: sis
    proof_test:
      interval_h: 17520.0
    mttr_h: 8.0
    mrt_h: 8.0
    diagnostic_interval_h: 0.01
    acts_on_detected: true
  esv-301:
    part: final
    voting: 1oo2
    channels:
    - - SOV
      - ESV
    - - SOV
      - ESV
    zone: sis
    proof_test:
      interval_h: 4380.0
      coverage: 0.9
      full_interval_h: 43800.0
    mttr_h: 24.0
    mrt_h: 72.0
  pos-210:
    part: sensor
    voting: 2oo2
    channels:
    - - POS
    - - POS
    proof_test:
      interval_h: 8760.0
    mttr_h: 8.0
    mrt_h: 8.0
  con-210:
    part: final
    voting: 1oo3
    channels:
    - - CON
    - - CON
    - - CON
    programmable: false
    proof_test:
      interval_h: 8760.0
    mttr_h: 8.0
    mrt_h: 8.0
    stated_beta:
      beta: 0.05
      beta_d: 0.025
      source: 2016 report
    note: no software inside
systems:
  S30:
    name: Hydrogenation shutdown system
    functions:
    - SIF-301
  S40:
    name: Dryer shutdown system
    functions:
    - SIF-401
    - SIF-210
functions:
  SIF-301:
    name: Reactor high pressure closes feed
    demand: low
    target_rrf: 500.0
    groups:
    - pt-301
    - ls-sis
    - esv-301
  SIF-401:
    name: Dryer high temperature
    demand: low
    target_rrf: 50.0
    groups:
    - tt-401
    - ls-sis
  SIF-210:
    name: Lid interlock
    demand: high
    target_pfh: 1.0e-06
    groups:
    - pos-210
    - con-210
','FS-1','2026-11-25T02:53:29.584+00:00');
INSERT INTO "plant_data" VALUES(3,2,'format: 1
plant:
  name: Other Works
  note: invented data - not for use
conventions:
  beta_method: iec61508-6-2010
  voting_factor: iec61508-6-2010
  redundancy_method: annex-b
  exposure_rule: graded
devices:
  PT:
    name: Pressure transmitter
    lambda_du_fit: 450.0
    lambda_dd_fit: 850.0
    lambda_s_fit: 550.0
    source: invented
  TT:
    name: Temperature transmitter
    lambda_du_fit: 300.0
    lambda_dd_fit: 700.0
  LS:
    name: Logic solver
    lambda_du_fit: 40.0
    lambda_dd_fit: 960.0
  SOV:
    name: Solenoid valve
    lambda_du_fit: 300.0
  ESV:
    name: Shut-off valve
    lambda_du_fit: 900.0
    lambda_dd_fit: 100.0
  POS:
    name: Position switch
    lambda_du_fit: 120.0
    lambda_dd_fit: 30.0
  CON:
    name: Contactor
    lambda_du_fit: 80.0
    lambda_dd_fit: 20.0
zones:
  bpcs:
    name: Control system
  sis:
    name: Safety controllers
    safety_related: true
    sl_target:
      IAC: 3
      UC: 3
      SI: 3
      DC: 1
      RDF: 3
      TRE: 2
      RA: 2
  field:
    name: Field devices
    safety_related: true
    sl_target:
      IAC: 1
      UC: 1
      SI: 2
      RDF: 2
      RA: 1
    note: by hand
conduits:
  C4:
    between:
    - bpcs
    - sis
    flow: read
    note: read-only gateway
  C9:
    between:
    - bpcs
    - outside
    flow: remote service
groups:
  pt-301:
    name: Reactor pressure transmitters
    part: sensor
    voting: 2oo3
    channels:
    - - PT
    - - PT
    - - PT
    tags:
    - PT-301A
    - PT-301B
    - PT-301C
    zone: field
    proof_test:
      interval_h: 8760.0
      full_interval_h: 87600.0
    mttr_h: 24.0
    mrt_h: 24.0
    diagnostic_interval_h: 1.0
    acts_on_detected: true
  tt-401:
    part: sensor
    voting: 1oo1
    channels:
    - - TT
    zone: field
    proof_test:
      interval_h: 8760.0
    mttr_h: 24.0
    mrt_h: 24.0
  ls-sis:
    part: logic
    voting: 1oo2
    channels:
    - - LS
    - - LS
    zone: sis
    proof_test:
      interval_h: 17520.0
    mttr_h: 8.0
    mrt_h: 8.0
    diagnostic_interval_h: 0.01
    acts_on_detected: true
  esv-301:
    part: final
    voting: 1oo2
    channels:
    - - SOV
      - ESV
    - - SOV
      - ESV
    zone: sis
    proof_test:
      interval_h: 4380.0
      coverage: 0.9
      full_interval_h: 43800.0
    mttr_h: 24.0
    mrt_h: 72.0
  pos-210:
    part: sensor
    voting: 2oo2
    channels:
    - - POS
    - - POS
    proof_test:
      interval_h: 8760.0
    mttr_h: 8.0
    mrt_h: 8.0
  con-210:
    part: final
    voting: 1oo3
    channels:
    - - CON
    - - CON
    - - CON
    programmable: false
    proof_test:
      interval_h: 8760.0
    mttr_h: 8.0
    mrt_h: 8.0
    stated_beta:
      beta: 0.05
      beta_d: 0.025
      source: 2016 report
    note: no software inside
systems:
  S30:
    name: Hydrogenation shutdown system
    functions:
    - SIF-301
  S40:
    name: Dryer shutdown system
    functions:
    - SIF-401
    - SIF-210
functions:
  SIF-301:
    name: Reactor high pressure closes feed
    demand: low
    target_rrf: 500.0
    groups:
    - pt-301
    - ls-sis
    - esv-301
  SIF-401:
    name: Dryer high temperature
    demand: low
    target_rrf: 50.0
    groups:
    - tt-401
    - ls-sis
  SIF-210:
    name: Lid interlock
    demand: high
    target_pfh: 1.0e-06
    groups:
    - pos-210
    - con-210
','','2026-11-25T02:53:29.590+00:00');
CREATE INDEX plant_data_latest ON plant_data (plant_id, id);
CREATE INDEX answer_by_plant ON answer (plant_id, id);
COMMIT;
