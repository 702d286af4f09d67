-- The roles of compose.yaml, made or brought up to date by the superuser at every start; psql runs it in the program's database:
--
--   kitspan_owner  owns the database and its schema; 'api migrate' alone is this role
--   kitspan_serve  reads and writes rows, and can change neither tables nor the count of migrations; 'api serve' and 'api seed'
--
-- The passwords come from the environment: KITSPAN_OWNER_PASSWORD and KITSPAN_SERVE_PASSWORD. A changed one holds from the next start.
\set ON_ERROR_STOP on
\getenv owner_password KITSPAN_OWNER_PASSWORD
\getenv serve_password KITSPAN_SERVE_PASSWORD

SELECT format('CREATE ROLE %I', wanted) FROM unnest(ARRAY['kitspan_owner', 'kitspan_serve']) AS wanted
WHERE NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = wanted)
\gexec

ALTER ROLE kitspan_owner LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS PASSWORD :'owner_password';
ALTER ROLE kitspan_serve LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS PASSWORD :'serve_password';

-- Everybody else keeps out.
REVOKE ALL ON DATABASE :"DBNAME" FROM PUBLIC;
REVOKE ALL ON SCHEMA public FROM PUBLIC;
ALTER DATABASE :"DBNAME" OWNER TO kitspan_owner;
ALTER SCHEMA public OWNER TO kitspan_owner;
GRANT CONNECT, TEMPORARY ON DATABASE :"DBNAME" TO kitspan_serve; -- imports are staged in a temporary table
GRANT USAGE ON SCHEMA public TO kitspan_serve;

-- What is there already, and what migrations will make.
SET ROLE kitspan_owner;
GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO kitspan_serve;
GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO kitspan_serve;
ALTER DEFAULT PRIVILEGES IN SCHEMA public GRANT SELECT, INSERT, UPDATE, DELETE ON TABLES TO kitspan_serve;
ALTER DEFAULT PRIVILEGES IN SCHEMA public GRANT USAGE, SELECT ON SEQUENCES TO kitspan_serve;

-- The count of migrations is only read by 'serve'. The migration library would make the same table, and grant writing by default.
CREATE TABLE IF NOT EXISTS schema_migrations (version bigint NOT NULL PRIMARY KEY, dirty boolean NOT NULL);
REVOKE ALL ON schema_migrations FROM kitspan_serve;
GRANT SELECT ON schema_migrations TO kitspan_serve;
