-- For each bench, as the superuser; then give it a password with \password bench_2 (it is typed, and never logged):
--   sudo -u postgres psql -v ON_ERROR_STOP=1 -v bench=bench_2 -f bench.sql

CREATE ROLE :"bench" LOGIN IN ROLE propsoff_bench CONNECTION LIMIT 20;
