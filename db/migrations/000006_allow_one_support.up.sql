-- A small frame may be held by its middle on one stand.
ALTER TABLE items DROP CONSTRAINT items_frame_supports;
ALTER TABLE items ADD CONSTRAINT items_frame_supports CHECK (frame_supports_min IN (1, 2, 4) AND frame_supports_max IN (1, 2, 4)
    AND frame_supports_min <= frame_supports_max);
