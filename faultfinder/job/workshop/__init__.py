"""What a workshop keeps beside the records: who and where, pictures, prices, records of other vans."""
