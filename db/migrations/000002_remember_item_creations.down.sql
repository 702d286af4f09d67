DROP TABLE item_creations;
