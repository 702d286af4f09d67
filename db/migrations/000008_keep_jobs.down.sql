DROP TABLE job_creations;
DROP TABLE job_shots;
DROP TABLE job_places;
DROP TABLE jobs;
