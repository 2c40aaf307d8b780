-- As the keeper, in the database propsoff, once its tables are there; again after each new version of propsoff:
--   psql -v ON_ERROR_STOP=1 "host=db.example user=propsoff_keeper dbname=propsoff sslmode=verify-full" -f rights.sql
-- A bench reads all of history and adds to it. It deletes nothing and changes nothing, but for one column: which visit
-- a visit replaces, since a report that waited on a bench's disk may come in after a later one.

BEGIN;
REVOKE ALL ON SCHEMA public FROM PUBLIC;
GRANT USAGE ON SCHEMA public TO propsoff_bench;
REVOKE ALL ON ALL TABLES IN SCHEMA public FROM propsoff_bench;
REVOKE ALL ON ALL SEQUENCES IN SCHEMA public FROM propsoff_bench;
GRANT SELECT ON meta, visits, bodies, captures TO propsoff_bench;
GRANT INSERT ON visits, bodies, captures TO propsoff_bench;
GRANT UPDATE (replaces) ON visits TO propsoff_bench;
GRANT USAGE ON SEQUENCE visits_seq_seq TO propsoff_bench;
COMMIT;
