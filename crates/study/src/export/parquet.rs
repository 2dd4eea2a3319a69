//! A table as Parquet: where it is from stands in the file's metadata.

use std::path::Path;
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int32Type};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;

use super::table::{Column, Values, columns, provenance};
use crate::StudyError;
use crate::runs::Row;
use crate::study_file::Study;

/// Writes all rows of a study, the same bytes for the same rows.
pub fn write_parquet(study: &Study, rows: &[Row], path: &Path) -> Result<(), StudyError> {
    write_columns(&columns(study, rows)?, &provenance(study), path)
}

/// Writes columns of one length.
pub(super) fn write_columns(
    columns: &[Column],
    provenance: &[(String, String)],
    path: &Path,
) -> Result<(), StudyError> {
    let bytes = bytes_of(columns, provenance).map_err(|e| StudyError::Write {
        path: path.to_owned(),
        reason: e.to_string(),
    })?;
    lithodrome_rehearsal::write_whole(path, |out| out.write_all(&bytes))?;
    Ok(())
}

fn bytes_of(columns: &[Column], provenance: &[(String, String)]) -> Result<Vec<u8>, ParquetError> {
    let fields = columns.iter().map(|c| Ok(Arc::new(field(c)?)));
    let fields = fields.collect::<Result<_, ParquetError>>()?;
    let schema = Type::group_type_builder("rows")
        .with_fields(fields)
        .build()?;
    let metadata = provenance
        .iter()
        .map(|(name, value)| KeyValue::new(name.clone(), value.clone()))
        .collect();
    let properties = WriterProperties::builder()
        .set_created_by(format!("lithodrome {}", env!("CARGO_PKG_VERSION")))
        .set_compression(Compression::SNAPPY)
        .set_key_value_metadata(Some(metadata))
        .build();
    let mut bytes = Vec::new();
    let mut file = SerializedFileWriter::new(&mut bytes, Arc::new(schema), Arc::new(properties))?;
    let mut group = file.next_row_group()?;
    for column in columns {
        let Some(mut writer) = group.next_column()? else {
            break;
        };
        match &column.values {
            Values::Whole(values) => {
                let (there, levels) = there(values, |v| *v);
                writer
                    .typed::<Int32Type>()
                    .write_batch(&there, Some(&levels), None)?;
            }
            Values::Number(values) => {
                let (there, levels) = there(values, |v| *v);
                writer
                    .typed::<DoubleType>()
                    .write_batch(&there, Some(&levels), None)?;
            }
            Values::Text(values) => {
                let (there, levels) = there(values, |v| ByteArray::from(v.as_str()));
                writer
                    .typed::<ByteArrayType>()
                    .write_batch(&there, Some(&levels), None)?;
            }
        }
        writer.close()?;
    }
    group.close()?;
    file.close()?;
    Ok(bytes)
}

/// An optional column of this kind.
fn field(column: &Column) -> Result<Type, ParquetError> {
    let physical = match column.values {
        Values::Whole(_) => Physical::INT32,
        Values::Number(_) => Physical::DOUBLE,
        Values::Text(_) => Physical::BYTE_ARRAY,
    };
    let text = matches!(column.values, Values::Text(_));
    Type::primitive_type_builder(&column.name, physical)
        .with_repetition(Repetition::OPTIONAL)
        .with_logical_type(text.then_some(LogicalType::String))
        .build()
}

/// The values that are there, and for every row whether one is.
fn there<T, U>(values: &[Option<T>], of: impl Fn(&T) -> U) -> (Vec<U>, Vec<i16>) {
    let levels = values.iter().map(|v| i16::from(v.is_some())).collect();
    (values.iter().flatten().map(of).collect(), levels)
}
