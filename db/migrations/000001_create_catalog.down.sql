DROP TABLE item_rates;
DROP TABLE items;
DROP TABLE houses;
DROP FUNCTION bump_house_version();
