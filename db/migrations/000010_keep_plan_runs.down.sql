DROP TABLE plan_runs;
