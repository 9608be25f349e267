-- A catalogue of version 1, as its schema was, with rows that the upgrade must carry over.
PRAGMA application_id = 1936618850;
PRAGMA user_version = 1;
CREATE TABLE part(
  id INTEGER PRIMARY KEY,
  key TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL CHECK(kind IN ('belt','pulley','idler','tensioner','bearing')),
  name TEXT NOT NULL DEFAULT '',
  source TEXT,
  price REAL,
  currency TEXT,
  stock INTEGER);
CREATE TABLE belt(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,
  section TEXT NOT NULL, ribs INTEGER NOT NULL, length_mm REAL NOT NULL);
CREATE INDEX belt_length ON belt(ribs, length_mm);
CREATE TABLE pulley(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,
  section TEXT NOT NULL, ribs INTEGER NOT NULL, diameter_mm REAL NOT NULL, inertia_kg_m2 REAL);
CREATE INDEX pulley_diameter ON pulley(diameter_mm);
CREATE TABLE idler(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,
  side TEXT NOT NULL, diameter_mm REAL NOT NULL, bearing INTEGER REFERENCES part(id));
CREATE TABLE tensioner(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,
  side TEXT NOT NULL, diameter_mm REAL NOT NULL, arm_mm REAL NOT NULL, travel_deg REAL NOT NULL,
  preload_N_m REAL NOT NULL, rate_N_m_deg REAL NOT NULL, damping REAL);
CREATE TABLE bearing(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,
  designation TEXT NOT NULL, bore_mm REAL NOT NULL, outside_mm REAL NOT NULL, width_mm REAL NOT NULL,
  dynamic_kN REAL NOT NULL, static_kN REAL NOT NULL, rows INTEGER NOT NULL, max_rpm REAL);
INSERT INTO part VALUES
  (1, '8PK1575', 'belt', 'Sedgemere main belt', 'invented', 41.95, 'EUR', 12),
  (2, '6PK1000', 'belt', '', NULL, NULL, NULL, NULL),
  (3, 'SM-80', 'pulley', 'Sedgemere 80, "small"', 'invented', 129, 'EUR', 3),
  (4, 'SM-BEARING', 'bearing', '', 'invented', NULL, NULL, NULL),
  (5, 'SM-IDLER', 'idler', 'Idler, back side', 'invented', 25.005, 'EUR', 0),
  (6, 'SM-ARM', 'tensioner', '', '', NULL, NULL, NULL);
INSERT INTO belt VALUES (1, 'PK', 8, 1575), (2, 'PK', 6, 1000);
INSERT INTO pulley VALUES (3, 'PK', 8, 80, 0.0016);
INSERT INTO bearing VALUES (4, '6203-2XYZ/C3', 17, 40, 12, 9.55, 4.8, 1, 12000);
INSERT INTO idler VALUES (5, 'back', 76, 4);
INSERT INTO tensioner VALUES (6, 'back', 76, 95, 60, 25, 0.8, 0.2);
