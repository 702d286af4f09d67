DROP TABLE import_files;
