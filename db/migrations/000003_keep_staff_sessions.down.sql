DROP TABLE staff_sessions;
