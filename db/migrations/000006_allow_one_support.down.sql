UPDATE items SET frame_supports_min = greatest(frame_supports_min, 2), frame_supports_max = greatest(frame_supports_max, 2)
    WHERE frame_supports_min = 1;
ALTER TABLE items DROP CONSTRAINT items_frame_supports;
ALTER TABLE items ADD CONSTRAINT items_frame_supports CHECK (frame_supports_min IN (2, 4) AND frame_supports_max IN (2, 4)
    AND frame_supports_min <= frame_supports_max);
