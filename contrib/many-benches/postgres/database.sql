-- Once, as the superuser of the server:  sudo -u postgres psql -v ON_ERROR_STOP=1 -f database.sql
-- Two roles: the keeper owns the tables and alone may change or delete; every bench is a member of the other.

CREATE ROLE propsoff_keeper LOGIN;
CREATE ROLE propsoff_bench NOLOGIN;
CREATE DATABASE propsoff OWNER propsoff_keeper ENCODING 'UTF8' TEMPLATE template0;
REVOKE ALL ON DATABASE propsoff FROM PUBLIC;
GRANT CONNECT ON DATABASE propsoff TO propsoff_bench;
